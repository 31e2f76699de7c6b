package answer

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
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
)

// Views lists the views in the order of the contract.
func Views() []string {
	return []string{ViewLayout, ViewHistory, ViewProfiles, ViewDeformed, ViewSurface, ViewSlices}
}

// PictureQuery says which picture of a board is wanted.
type PictureQuery struct {
	View     string   `json:"view"`
	Exposure string   `json:"exposure" validate:"max=60"`                 // of history, profiles, surface; "" is the telling one
	State    string   `json:"state" validate:"max=60"`                    // of deformed: an end state or an exposure; "" is where the board is worst
	Hour     *float64 `json:"hour" validate:"omitempty,gte=0,lte=200000"` // of deformed, surface and profiles, h; nil is the telling time
}

func (q *PictureQuery) check() fault.List {
	faults := validate(q)
	if !slices.Contains(Views(), q.View) {
		faults = append(faults, fault.Fault{Rule: fault.NotOneOf, Pointer: "/view", Detail: "not a known view", Found: fault.Short(q.View),
			Allowed: strings.Join(Views(), ", "), Nearest: fault.Nearest(q.View, Views(), 1)})
	}
	return faults
}

// Draw answers a board file with a picture, as SVG. Errors are those of Board,
// and Parameters for a view that the board or the check does not have.
func Draw(ctx context.Context, src []byte, q BoardQuery, p PictureQuery, m *Memory) ([]byte, error) {
	if err := append(p.check(), q.check()...).Err(); err != nil {
		return nil, Parameters{err}
	}
	if p.View == ViewSlices {
		_, b, err := m.read(src)
		if err != nil {
			return nil, err
		}
		return drawSlices(b)
	}
	q.NoCracks, q.NoChance = true, true // no picture shows them
	q.Samples = 0
	if p.View == ViewHistory {
		q.Series = 400
	}
	c, err := prepare(ctx, src, q, m)
	if err != nil {
		return nil, err
	}
	r, err := c.report(ctx)
	if err != nil {
		return nil, err
	}
	switch p.View {
	case ViewHistory:
		return c.drawHistory(r, p)
	case ViewProfiles:
		return c.drawProfiles(ctx, r, p)
	case ViewDeformed:
		return c.drawDeformed(ctx, r, p)
	case ViewSurface:
		return c.drawSurface(ctx, r, p)
	}
	return Picture(c.board, r)
}

// tie is how finely utilisations are told apart in a picture, parts of 1: joints
// that are alike by symmetry differ by round-off, which must not order them.
const tie = 1e6

// Picture draws a checked board as SVG: joints painted by utilisation, the
// worst one called out.
func Picture(b *layout.Board, r *check.Report) ([]byte, error) {
	m := draw.Marks{Title: string(r.Verdict) + titleOf(b), Subtitle: r.Headline, Worst: -1, Inches: b.Units == "in", Colours: colours(b)}
	at := make(map[string]int, len(b.Joints))
	for i, j := range b.Joints {
		at[j.ID] = i
	}
	for _, j := range r.Joints {
		i, ok := at[j.ID]
		if !ok {
			continue
		}
		m.Joints = append(m.Joints, draw.JointMark{Joint: i, Utilisation: math.Round(j.Utilisation*tie) / tie, Verdict: string(j.Verdict), How: j.How})
		if r.Worst != nil && r.Worst.Joint == j.ID {
			m.Worst, m.Callout = i, callout(r.Worst)
		}
	}
	for i, p := range b.Pieces {
		if r.Worst != nil && r.Worst.Piece == p.ID {
			m.PieceMarks = append(m.PieceMarks, draw.PieceMark{Piece: i, Utilisation: r.Worst.Utilisation, Text: r.Worst.How})
		}
	}
	return draw.Layout(b, m)
}

func titleOf(b *layout.Board) string {
	if b.Name == "" {
		return ""
	}
	return ": " + b.Name
}

func callout(w *check.Worst) string {
	words := w.How
	if w.When != "" {
		words += " " + w.When
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
	return Parameters{fault.List{{Rule: fault.NotAllowed, Pointer: pointer, Detail: "this picture shows an exposure, and the check has none",
		Allowed: "exposures other than none"}}}
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
	return nil, Parameters{fault.List{{Rule: fault.UnknownName, Pointer: "/exposure", Detail: "the check has no such exposure", Found: fault.Short(name),
		Allowed: strings.Join(names, ", "), Nearest: fault.Nearest(name, names, 3)}}}
}
