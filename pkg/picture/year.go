package picture

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// yearAtHome is the exposure that a year in motion shows.
const (
	yearAtHome = "year-at-home"
	months     = 12
)

// yearOf is the year at home of the check: the first of the exposures that are asked
// for, else of those of the board's file, else one as a board has that tells nothing.
func (d *checked) yearOf() (moisture.Event, error) {
	if d.cond.NoHistories {
		return moisture.Event{}, noHistories("/view")
	}
	asked := d.cond.Events
	if len(asked) == 0 {
		asked = d.board.Exposures
	}
	var others []string
	for _, e := range asked {
		if e.Name == yearAtHome {
			return e, nil
		}
		others = append(others, e.Name)
	}
	if len(d.cond.Events) > 0 {
		return moisture.Event{}, fault.List{{Rule: fault.NotAllowed, Pointer: "/view", Detail: "this picture shows a year at home, and the exposures asked for have none",
			Found: fault.Short(strings.Join(others, ", ")), Allowed: yearAtHome + " among the exposures, or none named"}}
	}
	return moisture.Event{Name: yearAtHome}, nil
}

// drawYear draws the board month by month through a year at home, the last where
// there are several.
func (d *checked) drawYear(ctx context.Context) ([]byte, error) {
	event, err := d.yearOf()
	if err != nil {
		return nil, err
	}
	d.cond.Events = []moisture.Event{event}
	d.cond.Series = seriesDrawn
	r, err := d.model.Report(ctx, d.cond)
	if err != nil {
		return nil, err
	}
	e := &r.Exposures[0]
	first := max(d.firstMonth(e.Name), 1)
	out := make([]draw.YearFrame, 0, months)
	var from [][]layout.XY
	year := e.Hours / max(1, event.Values["years"])
	for k := range months {
		hour := e.Hours - year + (float64(k)+0.5)/months*year // the middle of the month
		i, err := d.model.Instant(ctx, d.cond, e.Name, hour)
		if err != nil {
			return nil, err
		}
		var after [][]layout.XY
		from, after = d.model.Outlines(i)
		month := time.Month((first-1+k)%months + 1).String()[:3]
		out = append(out, draw.YearFrame{Label: month, Text: fmt.Sprintf("%.0f %%", 100*nearest(e.Series, hour)), Outlines: after})
	}
	return draw.Year(d.board, from, out, draw.YearOptions{Title: "A year" + titleOf(d.board), Subtitle: e.Text + " Per cent: of what the worst joint bears.", Colours: colours(d.board), Inches: d.inches()})
}

// nearest is the utilisation of a series at the kept time nearest to hour [h].
func nearest(s *check.Series, hour float64) float64 {
	best := 0
	for i, t := range s.Hours {
		if math.Abs(t-hour) < math.Abs(s.Hours[best]-hour) {
			best = i
		}
	}
	return s.Utilisation[best]
}
