// Package picture draws what a check of a board found: joints painted by how much
// they bear, curves over time, moisture through the thickness, how the board moves
// and bends, and the order of work of a sliced field. It puts the numbers of a
// report into the drawings of package draw.
package picture

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Views of a board.
const (
	ViewLayout   = "layout"   // joints painted by utilisation
	ViewHistory  = "history"  // utilisation, cup and moisture over an exposure
	ViewProfiles = "profiles" // moisture through the thickness
	ViewDeformed = "deformed" // as it moves in its own plane
	ViewSurface  = "surface"  // as it cups, bows and twists
	ViewSlices   = "slices"   // the order of work of a sliced field
	ViewYear     = "year"     // as it moves through a year at home
)

// Views lists the views in the order of the contract.
func Views() []string {
	return []string{ViewLayout, ViewHistory, ViewProfiles, ViewDeformed, ViewSurface, ViewSlices, ViewYear}
}

// Options say which picture of a board is wanted. The zero value is the layout.
type Options struct {
	View     string   // one of Views; "" is ViewLayout
	Exposure string   // of history, profiles, surface; "" is the telling one
	State    string   // of deformed: an end state or an exposure; "" is where the board is worst
	Hour     *float64 // of deformed, surface and profiles, h; nil is the telling time
}

// shownBy are the views that an option has a meaning for.
var shownBy = map[string][]string{
	"exposure": {ViewHistory, ViewProfiles, ViewSurface},
	"state":    {ViewDeformed},
	"hour":     {ViewDeformed, ViewSurface, ViewProfiles},
}

// Check lists what is wrong with the options by themselves, a value too many for the
// view among it; pointers are into them, "/view".
func (o Options) Check() (l fault.List) {
	view := cmp.Or(o.View, ViewLayout)
	if !slices.Contains(Views(), view) {
		return fault.List{{Rule: fault.NotOneOf, Pointer: "/view", Detail: "not a known view", Found: fault.Short(o.View),
			Allowed: strings.Join(Views(), ", "), Nearest: fault.Nearest(o.View, Views(), 1)}}
	}
	given := func(name, found string) {
		if views := shownBy[name]; found != "" && !slices.Contains(views, view) {
			l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/" + name, Detail: "the view " + view + " shows the same whatever is given here",
				Found: fault.Short(found), Allowed: "with the view " + strings.Join(views, ", ") + "; else leave it out"})
		}
	}
	given("exposure", o.Exposure)
	given("state", o.State)
	if o.Hour != nil {
		given("hour", fmt.Sprint(*o.Hour))
	}
	return l
}

// Draw checks a board and draws what is found, as SVG.
//
// Errors: a fault.List with places in the options ("/view", "/exposure", "/state")
// for a view that the board or the check does not have; those of check.Board.
func Draw(ctx context.Context, b *layout.Board, c check.Conditions, o Options) ([]byte, error) {
	if l := o.Check(); len(l) > 0 {
		return nil, l
	}
	if o.View == ViewSlices {
		return drawSlices(b)
	}
	c.NoCracks, c.NoChance = true, true // no picture shows them
	if o.View == ViewHistory {
		c.Series = seriesDrawn
	}
	m, err := check.Prepare(ctx, b, c)
	if err != nil {
		return nil, err
	}
	d := &checked{board: b, model: m, cond: c}
	if o.View == ViewYear {
		return d.drawYear(ctx)
	}
	r, err := m.Report(ctx, c)
	if err != nil {
		return nil, err
	}
	switch o.View {
	case ViewHistory:
		return d.drawHistory(r, o)
	case ViewProfiles:
		return d.drawProfiles(ctx, r, o)
	case ViewDeformed:
		return d.drawDeformed(ctx, r, o)
	case ViewSurface:
		return d.drawSurface(ctx, r, o)
	}
	return Layout(b, r)
}

// seriesDrawn is how many points a curve over time is drawn through at most.
const seriesDrawn = 400

// checked is a board that was checked, and how.
type checked struct {
	board *layout.Board
	model *check.Prepared
	cond  check.Conditions
}

// Layout draws a checked board as SVG: joints painted by utilisation, the worst one
// called out.
func Layout(b *layout.Board, r *check.Report) ([]byte, error) { return draw.Layout(b, Marks(b, r)) }

// Marks are what a report puts on the drawing of its board; see draw.Layout.
func Marks(b *layout.Board, r *check.Report) draw.Marks {
	m := draw.Marks{Title: string(r.Verdict) + titleOf(b), Subtitle: r.Headline, Worst: -1, Inches: b.Units == "in", Colours: colours(b), Words: r.Words}
	if slices.ContainsFunc(b.Pieces, func(p layout.Piece) bool { return p.RingUnknown }) {
		m.Subtitle += " Where no rings are drawn nobody has looked at them; judged is one draw of them."
	}
	for i := range r.Modes {
		if o := &r.Modes[i]; o.Figure != nil && (o.Mode == r.Mode || math.Round(100**o.Figure) > 0) { // a bar without length tells nothing
			m.Modes = append(m.Modes, draw.ModeMark{Name: o.Name, Word: string(o.Verdict), Words: o.Scale(), Figure: verdict.Rank(*o.Figure), Low: verdict.Rank(*o.Low), High: verdict.Rank(*o.High), Told: !o.Counts})
		}
	}
	at := make(map[string]int, len(b.Joints))
	for i, j := range b.Joints {
		at[j.ID] = i
	}
	for _, j := range r.Joints {
		i, ok := at[j.ID]
		if !ok {
			continue
		}
		m.Joints = append(m.Joints, draw.JointMark{Joint: i, Utilisation: verdict.Rank(j.Utilisation), How: j.How})
		if joint, words := called(r); joint == j.ID {
			m.Worst, m.Callout = i, woodsOf(b, i)+" "+words
		}
	}
	for i, p := range b.Pieces {
		if r.Worst != nil && r.Worst.Piece == p.ID {
			m.PieceMarks = append(m.PieceMarks, draw.PieceMark{Piece: i, Utilisation: r.Utilisation, Text: r.Worst.How})
		}
	}
	return m
}

func titleOf(b *layout.Board) string {
	if b.Name == "" {
		return ""
	}
	return ": " + b.Name
}

// woodsOf names the two woods of a joint: "black walnut and sugar maple:".
func woodsOf(b *layout.Board, joint int) string {
	name := func(piece int) string {
		if s, err := wood.Find(b.Pieces[piece].Species); err == nil {
			return strings.ToLower(s.CommonName)
		}
		return b.Pieces[piece].Species
	}
	a, c := name(b.Joints[joint].A), name(b.Joints[joint].B)
	if a == c {
		return a + " on both sides:"
	}
	return a + " and " + c + ":"
}

// called is the joint that is called out, with what happens there: that of the way which
// gives the word, where it has one of its own, else the one a crack loads most.
func called(r *check.Report) (joint, words string) {
	if o := r.Governing(); o != nil && !r.ByWorst() && o.Joint != "" {
		return o.Joint, callout(o.Name, o.When)
	}
	if r.Worst == nil || r.Worst.Joint == "" {
		return "", ""
	}
	return r.Worst.Joint, callout(r.Worst.How, r.Worst.When)
}

func callout(words, when string) string {
	if when != "" {
		words += " " + when
	}
	return words
}

func colours(b *layout.Board) []string {
	out := make([]string, len(b.Pieces))
	for i, p := range b.Pieces {
		out[i] = colourOf(b, p)
	}
	return out
}

// colourOf is the colour the file gives the stock, or that of the wood.
func colourOf(b *layout.Board, p layout.Piece) string {
	if c := b.Stock[p.Stock].Colour; c != "" {
		return c
	}
	if s, err := wood.Find(p.Species); err == nil {
		return s.Colour
	}
	return ""
}

// noHistories is the fault of a picture that needs an exposure where there is none.
func noHistories(pointer string) error {
	return fault.List{{Rule: fault.NotAllowed, Pointer: pointer, Detail: "this picture shows an exposure, and the check has none",
		Allowed: "exposures other than none"}}
}

// exposureOf finds an exposure of the report by name; of no name, the one that
// is largest by measure, of those that the verdict speaks of where there are some.
func exposureOf(r *check.Report, name string, measure func(*check.Exposure) float64) (*check.Exposure, error) {
	if len(r.Exposures) == 0 {
		return nil, noHistories("/view")
	}
	best := &r.Exposures[0]
	var names []string
	for i := range r.Exposures {
		e := &r.Exposures[i]
		if e.Name == name {
			return e, nil
		}
		if names = append(names, e.Name); best.Mishap && !e.Mishap || best.Mishap == e.Mishap && measure(e) > measure(best) {
			best = e
		}
	}
	if name == "" {
		return best, nil
	}
	return nil, fault.List{{Rule: fault.UnknownName, Pointer: "/exposure", Detail: "the check has no such exposure", Found: fault.Short(name),
		Allowed: strings.Join(names, ", "), Nearest: fault.Nearest(name, names, 3)}}
}
