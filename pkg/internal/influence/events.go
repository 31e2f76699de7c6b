package influence

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Events lists what to follow: the user's own, the board file's, or the standard
// set. The error is a fault.List with the place in the board file.
func (m *Model) Events(c Conditions) ([]moisture.Event, error) {
	asked := m.Board.Exposures
	place := func(i int) string { return fmt.Sprintf("/exposures/%d", i) }
	if len(c.Exposures) > 0 {
		asked, place = make([]moisture.Event, len(c.Exposures)), func(int) string { return "" }
		for i, name := range c.Exposures {
			asked[i].Name = name
		}
	}
	if len(asked) == 0 {
		asked = []moisture.Event{{Name: StandardExposures}}
	}
	if len(asked) == 1 && asked[0].Name == NoExposures {
		return nil, nil
	}
	in, err := m.Setting(c)
	if err != nil {
		return nil, err
	}
	var out []moisture.Event
	var faults fault.List
	for i, ev := range asked {
		events, l := ev.Several()
		for k := 0; k < len(events) && len(l) == 0; k++ { // what this home's air cannot bring
			_, err := moisture.Expand(events[k], in)
			errors.As(err, &l)
		}
		for _, f := range l {
			f.Pointer = place(i) + f.Pointer
			faults = append(faults, f)
		}
		out = append(out, events...)
	}
	return moisture.Numbered(out), faults.Err()
}

// Names in Conditions.Exposures that stand for none and for the usual set.
const (
	NoExposures       = "none"
	StandardExposures = moisture.StandardSet
)

// When tells the time of an exposure in words.
func (c *Course) When(i int) string {
	h := c.Times[i]
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
	return t + " into “" + strings.ToLower(c.Shown.Name) + "” (" + ph + ")"
}

func plural(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}
