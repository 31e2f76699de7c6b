package check

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// events lists what to follow: the user's own, the board file's, or the standard
// set. The error is a fault.List with the place in the board file.
func (m *Model) events(c Conditions) ([]moisture.Event, error) {
	if len(c.Exposures) == 1 && c.Exposures[0] == NoExposures {
		return nil, nil
	}
	var out []moisture.Event
	var faults fault.List
	add := func(ev moisture.Event, pointer string) {
		for _, f := range ev.Check() {
			f.Pointer = pointer + f.Pointer
			faults = append(faults, f)
		}
		out = append(out, ev)
	}
	names := c.Exposures
	if len(names) == 0 {
		for i, e := range m.board.Exposures {
			add(moisture.Event{Name: e.Name, Values: e.Values, Words: e.Words}, fmt.Sprintf("/exposures/%d", i))
		}
		if len(out) == 0 {
			names = []string{StandardExposures}
		}
	}
	for _, n := range names {
		if n == StandardExposures {
			for _, s := range standardSet {
				add(moisture.Event{Name: s}, "")
			}
			continue
		}
		add(moisture.Event{Name: n}, "")
	}
	return out, faults.Err()
}

// Names in Conditions.Exposures that stand for none and for the usual set.
const (
	NoExposures       = "none"
	StandardExposures = "standard"
)

// standardSet is what a kitchen board meets without anybody's fault. What ruins
// boards by neglect is asked for by name.
var standardSet = []string{"year-at-home", "first-heating-season", "wash-one-face", "flat-on-dry-counter"}

// when tells the time of an exposure in words.
func (c *course) when(i int) string {
	h := c.times[i]
	ph := c.phases[c.phase[i]].Name
	t := ""
	switch {
	case h < 1:
		t = plural(math.Round(h*60), "minute")
	case h < 48:
		t = plural(math.Round(h), "hour")
	case h < 24*60:
		t = plural(math.Round(h/24), "day")
	default:
		t = plural(math.Round(h/730), "month")
	}
	return t + " into “" + strings.ToLower(c.shown.Name) + "” (" + ph + ")"
}

func plural(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}
