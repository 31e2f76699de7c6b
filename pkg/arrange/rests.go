package arrange

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
)

// gap is where the work may rest between two glue-ups.
type gap struct {
	what   string // what comes after it: "the panels are glued"
	before string // the same as the id of a glue-up; "panels" for all of them
	border int    // which border that is, −1 for none
	at     func(*layout.File) **layout.Rest
}

// gapsOf lists where the work on a board may rest, in order.
func gapsOf(f *layout.File) []gap {
	var out []gap
	if f.Field.Build != nil {
		out = []gap{
			{"the panels are glued", "panels", -1, func(f *layout.File) **layout.Rest { return &f.Field.Build.StickRest }},
			{"the panels are sliced", "field", -1, func(f *layout.File) **layout.Rest { return &f.Field.Build.Rest }},
			{"the rows are glued", "field", -1, func(f *layout.File) **layout.Rest { return &f.Field.Build.SliceRest }}}
	}
	for i := range f.Borders {
		out = append(out, gap{fmt.Sprintf("border %d is glued on", i+1), fmt.Sprintf("b%d", i+1), i, func(f *layout.File) **layout.Rest { return &f.Borders[i].Rest }})
	}
	return out
}

func sameRest(a, b *layout.Rest) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Days == b.Days && (a.Air == nil) == (b.Air == nil) && (a.Air == nil || *a.Air == *b.Air) && len(a.Moisture) == len(b.Moisture)
}

// waits are the rests that are tried, days: none, until faces have dried, until end
// grain has settled.
var waits = []float64{0, 3, 14}

// WorthWaiting is a difference of moisture from which a wait, or another effort, is worth
// trying, % MC.
const WorthWaiting = 0.2

// pastMatters tells whether waiting changes anything: whether wood lies in the shop
// that is not in balance with its air, or was glued at different moistures.
func pastMatters(b *layout.Board) bool {
	shop, err := b.GlueUp.EMC()
	if err != nil {
		return false
	}
	for i := range b.Stages {
		if air := b.Stages[i].Rest.Air; air != nil && *air != b.GlueUp {
			return true
		}
	}
	return slices.ContainsFunc(b.Pieces, func(p layout.Piece) bool { return math.Abs(p.Moisture-shop) > WorthWaiting })
}

// pastGaps tells which gaps are over: what comes after them is glued already.
func pastGaps(b *layout.Board, gaps []gap, glued []string) []bool {
	done := make([]bool, len(gaps))
	for g := range gaps {
		for _, id := range glued {
			k := slices.IndexFunc(b.GlueUps, func(u layout.GlueUp) bool { return u.ID == id })
			if k < 0 {
				continue
			}
			u := &b.GlueUps[k]
			switch {
			case gaps[g].before == "panels":
				done[g] = done[g] || u.Kind != layout.StageStick
			case gaps[g].before == "field":
				done[g] = done[g] || u.Kind == layout.StageField || u.Kind == layout.StageBorder
			default:
				done[g] = done[g] || u.Kind == layout.StageBorder && u.Border >= gaps[g].border
			}
		}
	}
	return done
}

// Remedy is another way to go about the work: its file, and what is done otherwise.
type Remedy struct {
	Name  string // "wait", "glue-order"
	Steps []Step
	File  *layout.File

	work    *work
	settled float64 // utilisation by stress once the wood has settled
}

// Rests proposes for each gap between two glue-ups that is still to come the wait
// that is best for the wood once it has settled, by stress, and to glue the sides of
// borders in another order. Nothing is proposed where all wood is in balance with the
// shop. A rest after which moistures were measured has been. Errors: those of f, of what
// is no glue-up, at "/glued", and the context's.
func Rests(ctx context.Context, f *layout.File, c check.Conditions, glued []string) ([]Remedy, error) {
	b, faults := f.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	if l := Unglued(b, glued); len(l) > 0 {
		return nil, l
	}
	if !pastMatters(b) {
		return nil, nil
	}
	c.NoHistories, c.ByStress = true, true
	var out []Remedy
	try := func(name string, works []*work) error {
		var best *Remedy
		least := math.Inf(1)
		for _, w := range works {
			g := w.file(f)
			lies, faults := g.Board()
			if len(faults) > 0 {
				continue // a rest of sticks of one wood, say
			}
			v, err := check.FigureOf(ctx, lies, c)
			if ctx.Err() != nil {
				return ctx.Err()
			}
			if err == nil && v.Utilisation < least {
				best, least = &Remedy{name, w.steps(f), g, w, v.Utilisation}, v.Utilisation
			}
		}
		if best != nil {
			out = append(out, *best)
		}
		return nil
	}
	gaps := gapsOf(f)
	done := pastGaps(b, gaps, glued)
	for g := range gaps {
		was := *gaps[g].at(f)
		if done[g] || was != nil && len(was.Moisture) > 0 {
			continue
		}
		var works []*work
		for _, days := range waits {
			rest := &layout.Rest{Days: days}
			if was != nil {
				rest.Air = was.Air
			}
			if days == 0 {
				rest = nil
			}
			if !sameRest(was, rest) {
				works = append(works, &work{rests: map[int]*layout.Rest{g: rest}})
			}
		}
		if err := try("wait", works); err != nil {
			return out, err
		}
	}
	if err := try("glue-order", exchangedRests(f, gaps, done)); err != nil {
		return out, err
	}
	for i := range f.Borders {
		e := &f.Borders[i]
		if last := len(gaps) - len(f.Borders) + i; done[last] || e.Corner == "mitre" || len(e.Sides) == 0 || slices.Equal(otherFirst(e.Sides), e.Sides) {
			continue
		}
		if err := try("glue-order", []*work{{sides: map[int]bool{i: true}}}); err != nil {
			return out, err
		}
	}
	return out, nil
}

// exchangedRests are the ways to rest as long, but one stage earlier or later.
func exchangedRests(f *layout.File, gaps []gap, done []bool) (out []*work) {
	for g := 1; g < len(gaps); g++ {
		a, b := *gaps[g-1].at(f), *gaps[g].at(f)
		if done[g-1] || done[g] || sameRest(a, b) || a != nil && len(a.Moisture) > 0 || b != nil && len(b.Moisture) > 0 {
			continue
		}
		out = append(out, &work{rests: map[int]*layout.Rest{g - 1: b, g: a}})
	}
	return out
}
