package picture

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/wood"
)

const hoursPerDay = 24.0

func (c *checked) inches() bool { return c.board.Units == "in" }

// drawHistory draws utilisation, cup and moisture over one exposure.
func (c *checked) drawHistory(r *check.Report, p Options) ([]byte, error) {
	e, err := exposureOf(r, p.Exposure, func(e *check.Exposure) float64 { return e.Utilisation })
	if err != nil {
		return nil, err
	}
	days := make([]float64, len(e.Series.Hours))
	for i, h := range e.Series.Hours {
		days[i] = h / hoursPerDay
	}
	lines := []draw.Series{{Panel: "demand over what the joints bear", Name: "worst joint", Days: days, Values: e.Series.Utilisation, Utilisation: true}}
	if e.Cup != 0 {
		lines = append(lines, c.cupSeries(days, e.Series.Cup))
	}
	for _, kind := range slices.Sorted(maps.Keys(e.Series.Moisture)) {
		lines = append(lines, draw.Series{Panel: "moisture", Name: kind, Unit: "% MC", Days: days, Values: e.Series.Moisture[kind]})
	}
	o := draw.HistoryOptions{Title: nameOf(e) + titleOf(c.board), Subtitle: e.Text, FirstMonth: c.firstMonth(e.Name), Words: r.Words}
	return draw.History(lines, o)
}

// cupSeries is the line of the cup [mm], in the units of the board.
func (c *checked) cupSeries(days, cup []float64) draw.Series {
	line := draw.Series{Panel: "cup", Name: "cup, edges up", Unit: "mm", Days: days, Values: cup}
	if c.inches() {
		line.Unit, line.Values = "in", make([]float64, len(cup))
		for i, v := range cup {
			line.Values[i] = quantity.Inches(v)
		}
	}
	return line
}

// firstMonth is the month an exposure begins in, 0 when it is not tied to one.
func (c *checked) firstMonth(name string) int {
	asked := moisture.Event{Name: name}
	given := c.cond.Events
	if len(given) == 0 {
		given = c.board.Exposures
	}
	for _, e := range moisture.Numbered(given) {
		if e.ID() == name {
			asked = e
		}
	}
	if asked.Name != "year-at-home" && asked.Name != "ordinary-use" { // of the exposures that begin with their start month, those that last
		return 0
	}
	kind, err := moisture.FindExposure(asked.Name)
	if err != nil {
		return 0
	}
	month := 0
	for _, v := range kind.Values {
		if v.Name == "start_month" {
			month = int(v.Default)
		}
	}
	if v, given := asked.Values["start_month"]; given {
		month = int(v)
	}
	return month
}

// drawProfiles draws moisture through the thickness over one exposure.
func (c *checked) drawProfiles(ctx context.Context, r *check.Report, p Options) ([]byte, error) {
	e, err := exposureOf(r, p.Exposure, func(e *check.Exposure) float64 { return math.Abs(e.Cup) + e.Checking.Utilisation })
	if err != nil {
		return nil, err
	}
	var hours []float64
	if p.Hour != nil {
		hours = []float64{0, *p.Hour}
	}
	list, err := c.model.Profiles(ctx, c.cond, e.Name, hours)
	if err != nil {
		return nil, err
	}
	half := c.board.Thickness / 2
	var lines []draw.Profile
	for _, l := range list {
		z := make([]float64, len(l.Z))
		for i, v := range l.Z {
			z[i] = min(max(v+half, 0), 2*half)
		}
		lines = append(lines, draw.Profile{Panel: l.Kind, Days: l.Hour / hoursPerDay, Z: z, MC: l.MC})
	}
	o := draw.ProfileOptions{Title: nameOf(e) + titleOf(c.board), Subtitle: e.Text, Thickness: c.board.Thickness,
		Inches: c.inches()}
	return draw.Profiles(lines, o)
}

// drawDeformed draws the board as it has moved in its own plane.
func (c *checked) drawDeformed(ctx context.Context, r *check.Report, p Options) ([]byte, error) {
	name, hour := p.State, 0.0
	if name == "" && r.Worst != nil {
		name, hour = r.Worst.State, r.Worst.Hour
	}
	if name == "" {
		widest := slices.MaxFunc(r.States, func(a, b check.State) int {
			return int(math.Copysign(1, math.Abs(a.Width)-math.Abs(b.Width)))
		})
		name = widest.Name
	}
	for i := range r.Exposures {
		if e := &r.Exposures[i]; p.State == e.Name {
			hour = e.WorstHour
		}
	}
	if p.Hour != nil {
		hour = *p.Hour
	}
	i, err := c.model.Instant(ctx, c.cond, name, hour)
	if err != nil {
		return nil, err
	}
	if p.Hour != nil && !slices.ContainsFunc(r.Exposures, func(e check.Exposure) bool { return e.Name == name }) {
		return nil, fault.List{{Rule: fault.NotAllowed, Pointer: "/hour", Detail: "an end state has no hours", Found: fmt.Sprint(*p.Hour), Allowed: "with an exposure as state"}}
	}
	from, to := c.model.Outlines(i)
	words := i.Text
	if i.When != "" {
		words = i.When
	}
	return draw.Deformed(c.board, from, to, draw.DeformedOptions{Title: "How it moves" + titleOf(c.board), Subtitle: words,
		Colours: colours(c.board), Inches: c.inches()})
}

// drawSurface draws the bent board at the moment it is bent most.
func (c *checked) drawSurface(ctx context.Context, r *check.Report, p Options) ([]byte, error) {
	e, err := exposureOf(r, p.Exposure, func(e *check.Exposure) float64 { return math.Abs(e.Cup) })
	if err != nil {
		return nil, err
	}
	hour := e.CupHour
	if p.Hour != nil {
		hour = *p.Hour
	}
	i, err := c.model.Instant(ctx, c.cond, e.Name, hour)
	if err != nil {
		return nil, err
	}
	const places = 33
	h := c.model.Deflection(i, places)
	o := draw.SurfaceOptions{Title: "How it bends" + titleOf(c.board), Subtitle: i.When, Inches: c.inches()}
	if p.Hour == nil {
		narrow := min(c.board.Width, c.board.Height)
		o.Notes = append(o.Notes, fmt.Sprintf("cup %s across %s, edges %s", c.small(math.Abs(e.Cup)), c.size(narrow), upOrDown(e.Cup)))
	}
	if h.Filled {
		o.Notes = append(o.Notes, "beyond the outline the height of its rim is drawn")
	}
	return draw.Surface(draw.Grid{X: h.X, Y: h.Y, Z: h.Z}, o)
}

func upOrDown(cup float64) string {
	if cup < 0 {
		return "down"
	}
	return "up"
}

// small is a movement: of inches three digits. size is a length of the board: of inches a
// fraction, as on a rule.
func (c *checked) small(mm float64) string {
	if c.inches() {
		return fmt.Sprintf("%.3f in", quantity.Inches(mm))
	}
	return fmt.Sprintf("%.2f mm", mm)
}

func (c *checked) size(mm float64) string {
	if c.inches() {
		return quantity.FormatInches(mm)
	}
	return fmt.Sprintf("%.0f mm", mm)
}

// drawSlices draws the order of work of a field that was made of slices: the long
// form where there is more to it than one panel.
func drawSlices(b *layout.Board) ([]byte, error) {
	if b.Build == nil {
		return nil, fault.List{{Rule: fault.NotAllowed, Pointer: "/view", Detail: "the field of this board is not made of slices",
			Found: ViewSlices, Allowed: "slices, for a board with field/slices or field/build"}}
	}
	if b.Build.Kerf > 0 || len(b.Borders) > 0 {
		colours := make(map[string]string, len(b.Stock))
		for key, s := range b.Stock {
			colours[key] = colourOf(b, layout.Piece{Stock: key, Species: s.Species})
		}
		return draw.Build(b, draw.BuildMarks{Title: "Order of work" + titleOf(b), Colours: colours, Inches: b.Units == "in"})
	}
	plan := draw.SlicePlan{Title: "Order of work" + titleOf(b), Thickness: b.Thickness, Turn: "none", Inches: b.Units == "in"}
	for i := range b.Build.Slices {
		if i == 1 {
			plan.Turn = b.Build.Slices[i].Turn
		}
	}
	for _, p := range b.Pieces {
		if p.Row < 0 {
			continue
		}
		plan.Count = max(plan.Count, p.Row+1)
		if p.Row > 0 {
			continue
		}
		lo, hi := p.Outline[0], p.Outline[0]
		for _, q := range p.Outline {
			for a := range q {
				lo[a], hi[a] = min(lo[a], q[a]), max(hi[a], q[a])
			}
		}
		plan.Height = hi[1] - lo[1]
		strip := draw.Strip{Name: p.Species, Colour: colourOf(b, p), Width: hi[0] - lo[0], Ring: p.RingAngle, Unlooked: p.RingUnknown}
		if s, err := wood.Find(p.Species); err == nil {
			strip.Name = s.CommonName
		}
		if p.Pith != nil {
			strip.Pith = &layout.XY{p.Pith[0] - (lo[0]+hi[0])/2, p.Pith[1] - (lo[1]+hi[1])/2}
		}
		plan.Strips = append(plan.Strips, strip)
	}
	return draw.Slices(plan)
}

// nameOf is the name of an exposure in words, with what it was given.
func nameOf(e *check.Exposure) string {
	name := e.Name
	if kind, err := moisture.FindExposure(e.Event); err == nil {
		name = kind.Name
	}
	if e.Given != "" {
		name += " (" + e.Given + ")"
	}
	return name
}
