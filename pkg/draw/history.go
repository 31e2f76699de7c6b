package draw

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// Series is one line of a history.
type Series struct {
	Panel        string // series of one panel share its axes; panels stand in order of first mention
	Name         string // written at the end of the line
	Unit         string // of Values, written beside the panel's name; one unit a panel
	Days, Values []float64
	Utilisation  bool // the limits of the verdicts are drawn and the highest value is marked
}

// Event is something that happens during a history.
type Event struct {
	From, To float64 // days; To not above From is a moment
	Text     string
}

// HistoryOptions are the words round a history; the zero value is usable.
type HistoryOptions struct {
	Title, Subtitle string
	FirstMonth      int           // 1 to 12: the month that day 0 begins; 0 counts days
	Words           verdict.Scale // utilisations at which the words begin
	Events          []Event       // shaded across all panels
	Width           int           // px, 0 means 600
}

// History draws values over time [days], one panel below the other on one time
// axis. It returns an error when there is nothing to draw, a series has days
// that fall or lengths that differ, a panel mixes units, or a number is not finite.
func History(series []Series, o HistoryOptions) ([]byte, error) {
	panels, err := panelsOf(series)
	if err != nil {
		return nil, err
	}
	if o.FirstMonth < 0 || o.FirstMonth > 12 {
		return nil, fmt.Errorf("draw: first month %d: allowed 1 to 12, or 0 for none", o.FirstMonth)
	}
	for _, e := range o.Events {
		if err := finite("event "+e.Text, e.From, e.To); err != nil {
			return nil, err
		}
	}
	var c canvas
	y := heading(&c, o.Title, o.Subtitle, lineLooks[0].colour)
	var days [][]float64
	for _, s := range series {
		days = append(days, s.Days)
	}
	t := axis{p0: side + 44, p1: picWidth - side - 122}
	t.lo, t.hi = rangeOf(days...)
	y = drawEventNames(&c, t, o.Events, y)
	first := y
	high := math.Min(math.Max(420/float64(len(panels)), 96), 150)
	var ends []float64
	for range panels {
		ends = append(ends, y+18+high)
		y += 18 + high + 18
	}
	drawEvents(&c, t, o.Events, first+18, ends[len(ends)-1])
	y = first
	for i, p := range panels {
		drawPanel(&c, p, t, y+18, ends[i], o)
		y = ends[i] + 18
	}
	y = drawTimeAxis(&c, t, ends[len(ends)-1], o.FirstMonth)
	return c.finish(o.Width, y+14, brief(o.Title), describeHistory(panels)), nil
}

// panel is a set of series on common axes.
type panel struct {
	name, unit string
	series     []Series
}

func panelsOf(series []Series) ([]panel, error) {
	var out []panel
	index := map[string]int{}
	for _, s := range series {
		if len(s.Days) == 0 || len(s.Days) != len(s.Values) {
			return nil, fmt.Errorf("draw: series %q has %d days and %d values", s.Name, len(s.Days), len(s.Values))
		}
		if err := finite("days of series "+s.Name, s.Days...); err != nil {
			return nil, err
		}
		if err := finite("series "+s.Name, s.Values...); err != nil {
			return nil, err
		}
		if !sort.Float64sAreSorted(s.Days) {
			return nil, fmt.Errorf("draw: the days of series %q fall", s.Name)
		}
		k, ok := index[s.Panel]
		if !ok {
			k = len(out)
			index[s.Panel] = k
			out = append(out, panel{name: s.Panel, unit: s.Unit})
		}
		if out[k].unit != s.Unit {
			return nil, fmt.Errorf("draw: panel %q mixes the units %q and %q", s.Panel, out[k].unit, s.Unit)
		}
		out[k].series = append(out[k].series, s)
	}
	if len(out) == 0 {
		return nil, errors.New("draw: a history without series has no picture")
	}
	return out, nil
}

// drawEvents shades the spans of events behind all panels.
func drawEvents(c *canvas, t axis, events []Event, top, bottom float64) {
	for _, e := range events {
		a, b := math.Max(e.From, t.lo), math.Min(e.To, t.hi)
		if e.From > t.hi || math.Max(e.From, e.To) < t.lo {
			continue
		}
		w, opacity := t.at(math.Max(a, b))-t.at(a), "0.2"
		if w < 1.5 {
			w, opacity = 1.5, "0.7"
		}
		c.el("rect", "x", num(t.at(a)), "y", num(top), "width", num(w), "height", num(bottom-top), "fill", "#8aa6b8", "fill-opacity", opacity)
	}
}

// drawEventNames writes the events above the first panel, each on the first
// line that has room; it returns where the panels may begin.
func drawEventNames(c *canvas, t axis, events []Event, y float64) float64 {
	var used []float64 // right end of each line
	for _, e := range events {
		if e.Text == "" || e.From > t.hi || math.Max(e.From, e.To) < t.lo {
			continue
		}
		text := cut(e.Text, 11.5, 240)
		w := textWidth(text, 11.5)
		x := math.Min(t.at(math.Max(e.From, t.lo)), picWidth-side-w)
		row := 0
		for row < len(used) && used[row] > x {
			row++
		}
		if row == len(used) {
			used = append(used, 0)
		}
		used[row] = x + w + 10
		c.label(x, y+float64(row)*14, 11.5, text, "fill", "#3d5a6b")
	}
	return y + 14*float64(len(used))
}

var monthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
var monthDays = [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// drawTimeAxis writes hours, days or months below the last panel.
func drawTimeAxis(c *canvas, t axis, y float64, firstMonth int) float64 {
	put := func(d float64, text string) {
		x := t.at(d)
		c.el("path", "d", "M"+num(x)+" "+num(y)+"v4", "stroke", mutedColour)
		c.label(x, y+17, 11.5, text, "text-anchor", "middle", "fill", mutedColour)
	}
	span := t.hi - t.lo
	name := "days"
	switch {
	case span <= 2.5:
		name = "hours"
		step := 1.0
		for _, s := range []float64{24, 12, 6, 3, 2, 1} {
			if span*24/s <= 9 {
				step = s
			}
		}
		if span*24 < 2 {
			step = niceStep(span * 24 / 6)
		}
		for _, h := range ticksBy(t.lo*24, t.hi*24, step) {
			put(h/24, sig(h, 4))
		}
	case firstMonth > 0 && span > 75 && span < 800:
		name = ""
		every := int(math.Ceil(span / 30.4 / 13))
		d := 0.0
		for k := 0; d <= t.hi; k++ {
			m := (firstMonth - 1 + k) % 12
			if d >= t.lo && k%every == 0 {
				put(d, monthNames[m])
			}
			d += monthDays[m]
		}
	default:
		for _, d := range ticks(t.lo, t.hi, 7) {
			put(d, sig(d, 6))
		}
	}
	if name != "" {
		c.label(t.p1+17, y+17, 11.5, name, "fill", mutedColour)
	}
	return y + 22
}

func describeHistory(panels []panel) string {
	var s strings.Builder
	for _, p := range panels {
		fmt.Fprintf(&s, "%s: ", p.name)
		for i, q := range p.series {
			if i > 0 {
				s.WriteString("; ")
			}
			lo, hi := rangeOf(q.Values)
			s.WriteString(q.Name + " from " + minus(sig(lo, 3)) + " to " + minus(sig(hi, 3)))
			if q.Unit != "" {
				s.WriteString(" " + q.Unit)
			}
		}
		s.WriteString(". ")
	}
	return brief(s.String())
}
