package influence

import (
	"context"
	"slices"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// turnMoments is how many moments of an exposure such a path is followed through: those
// at which its stress is highest; of a mishap, which is told beside the verdict, the one.
const (
	turnMoments       = 3
	turnMishapMoments = 1
)

// judgeTurns looks for paths that turn once and are worse than both lines they follow. A
// path can reach no more than its stress; in the end states and at the worst moments of its
// two lines that ranks them. Those that cannot pass their lines, nor half of the board's worst, are left, and
// so are those that cannot pass the worst found so far: of 788 paths of a brick field in
// a frame seven are left to work out, and on no board looked at more than twelve.
// Errors: the context's.
func (m *Model) judgeTurns(ctx context.Context, out *Judged) error {
	turns := m.Board.Turns(m.straight())
	half := 0.0
	for i := range out.Lines {
		half = max(half, out.Lines[i].Result.V/2)
	}
	var ends []*Load
	for i := range out.States {
		ends = append(ends, out.States[i].Load)
	}
	above, bound := make([]float64, len(turns)), make([]float64, len(turns))
	var order []int
	for i := range turns {
		if err := ctx.Err(); err != nil {
			return err
		}
		t := &turns[i]
		a, b := &out.Lines[t.Of[0]], &out.Lines[t.Of[1]]
		above[i] = max(a.Result.V, b.Result.V)
		lm := m.unsolved(t)
		hard := ends
		for _, l := range [2]*Load{a.Load, b.Load} {
			if l != nil && !slices.Contains(hard, l) {
				hard = append(slices.Clip(hard), l)
			}
		}
		for _, l := range hard {
			bound[i] = max(bound[i], lm.Crack.Bound(m.stateOf(lm, l)))
		}
		if bound[i] > max(above[i], half) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return verdict.Worse(bound[order[a]], bound[order[b]]) })
	most := 0.0
	for _, i := range order {
		if bound[i] <= most {
			break
		}
		one := *m
		one.Lines, one.held = []*LineModel{m.turned(&turns[i])}, nil // it is let go when it is judged
		if err := m.loadLines(ctx, one.Lines); err != nil {
			return err
		}
		f := follower{m: &one, few: turnMoments, floor: func(line float64) float64 { return min(line, above[i]) },
			take: func(w LineMoment, line *LineMoment, _ *PathMoment) {
				if verdict.Worse(w.Result.V, line.Result.V) {
					*line = w
				}
			}}
		worst, err := f.counting(ctx, out)
		if err != nil {
			return err
		}
		most = max(most, worst.Result.V)
		if verdict.Worse(worst.Result.V, above[i]) {
			out.Turns = append(out.Turns, worst)
		}
		f.few = turnMishapMoments
		if err := f.mishaps(ctx, out); err != nil {
			return err
		}
	}
	return nil
}

// follower judges a model of one path in what a board goes through.
type follower struct {
	m     *Model
	few   int                        // moments of an exposure, 0 for all
	floor func(line float64) float64 // for the worst glue line of an end state or exposure, up to where the path does not matter; nil where it always does
	// take is told the worst that the path brings in an end state or exposure, and what is
	// the worst line and split there.
	take func(w LineMoment, line *LineMoment, split *PathMoment)
}

// counting goes through the end states and the exposures that count, and gives the worst.
// Errors: the context's.
func (f *follower) counting(ctx context.Context, out *Judged) (LineMoment, error) {
	sweep := f.m.newLineSweep()
	for i := range out.States {
		s := &out.States[i]
		if err := f.over(ctx, sweep, []*Load{s.Load}, s.Name, []float64{0}, true, &s.Line, &s.Path); err != nil {
			return LineMoment{Line: -1}, err
		}
	}
	for _, h := range out.Histories {
		if h.LoadHistory.Aside() {
			continue
		}
		if err := f.over(ctx, sweep, h.loads, h.LoadHistory.ID(), h.LoadHistory.Times, true, &h.Line, &h.Path); err != nil {
			return LineMoment{Line: -1}, err
		}
	}
	worst := sweep.best[0]
	worst.Line = -1
	return worst, nil
}

// mishaps goes through those. Errors: the context's.
func (f *follower) mishaps(ctx context.Context, out *Judged) error {
	sweep := f.m.newLineSweep()
	for _, h := range out.Histories {
		if !h.LoadHistory.Aside() {
			continue
		}
		if err := f.over(ctx, sweep, h.loads, h.LoadHistory.ID(), h.LoadHistory.Times, false, &h.Line, &h.Path); err != nil {
			return err
		}
	}
	return nil
}

func (f *follower) over(ctx context.Context, sweep *lineSweep, loads []*Load, name string, hours []float64, counts bool, line *LineMoment, split *PathMoment) error {
	sweep.few = f.few
	if f.floor != nil {
		sweep.floor = f.floor(line.Result.V)
	}
	w, err := sweep.over(ctx, loads, name, hours, counts)
	if err != nil {
		return err
	}
	w.Line = -1
	f.take(w, line, split)
	return nil
}

// straight lists the glue lines of the model.
func (m *Model) straight() []layout.Line {
	out := make([]layout.Line, len(m.Lines))
	for i, lm := range m.Lines {
		out[i] = lm.Line
	}
	return out
}

// turned prepares a path that turns; what its cases bring is left to loadLines.
func (m *Model) turned(t *layout.Turn) *LineModel {
	lm := m.lineModel(t.Line)
	lm.Crack.Corner = slices.IndexFunc(lm.Crack.Joint, func(j int) bool { return j >= t.Corner })
	m.takeEnds(lm, t)
	m.starve(lm)
	return lm
}

// takeEnds gives a path that turns the ends of the lines it follows.
func (m *Model) takeEnds(lm *LineModel, t *layout.Turn) {
	for e, of := range t.Of {
		line, end := m.Lines[of], 0
		if (e == 1) != t.Reversed[e] {
			end = 1
		}
		if line.ends[end] == nil {
			continue
		}
		own := *line.ends[end]
		if own.joint = 0; e == 1 {
			own.joint = len(lm.Line.Joints) - 1
		}
		lm.ends[e], lm.Crack.Least[e] = &own, line.Crack.Least[end]
		if own.key.along == [2]bool{true, true} {
			m.weaken(lm, e)
		}
	}
}

// loadLines gives paths that were prepared after the board what one per cent of every
// kind and every rest between glue-ups bring. Errors: the context's.
func (m *Model) loadLines(ctx context.Context, lines []*LineModel) error {
	on := map[int]bool{}
	for _, lm := range lines {
		for _, lj := range lm.Line.Joints {
			on[lj.Joint] = true
		}
	}
	modes := []plate.Mode{plate.Membrane}
	if m.Bends {
		modes = append(modes, plate.Bending)
	}
	if m.Warps {
		modes = append(modes, plate.Warp)
	}
	for from := 0; from < len(m.Kinds) && len(lines) > 0; from += sideStep {
		to := min(from+sideStep, len(m.Kinds))
		amounts := m.unitAmounts(from, to)
		for _, mode := range modes {
			x := m.units[mode]
			if x != nil {
				x = x[from:to]
			} else {
				var err error
				if x, err = m.Plate.Respond(ctx, mode, amounts); err != nil {
					return err
				}
			}
			forces := make([][][]plate.Traction, len(m.Joints))
			for j := range on {
				forces[j] = m.Plate.Forces(mode, m.Joints[j].Trace, x, amounts)
			}
			for _, lm := range lines {
				lm.load(m, mode, from, forces)
			}
		}
	}
	for _, lm := range lines {
		lm.lock(m)
	}
	return nil
}
