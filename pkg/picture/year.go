package picture

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// yearAtHome is the exposure that a year in motion shows.
const (
	yearAtHome = "year-at-home"
	months     = 12
)

// drawYear draws the board month by month through a year at home.
func (d *checked) drawYear(ctx context.Context) ([]byte, error) {
	if d.cond.NoHistories {
		return nil, noHistories("/view")
	}
	events := []moisture.Event{}
	for _, e := range d.cond.Events {
		if e.Name == yearAtHome {
			events = append(events, e)
		}
	}
	if len(events) == 0 {
		events = append(events, moisture.Event{Name: yearAtHome})
	}
	d.cond.Events = events[:1]
	d.cond.Series = seriesDrawn
	r, err := d.model.Report(ctx, d.cond)
	if err != nil {
		return nil, err
	}
	e := &r.Exposures[0]
	first := max(d.firstMonth(e.Name), 1)
	out := make([]draw.YearFrame, 0, months)
	var from [][]layout.XY
	for k := range months {
		hour := (float64(k) + 0.5) / months * e.Hours // the middle of the month
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
