package influence

import (
	"context"
	"sort"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// LineMoment is one glue line at one moment, by the coupled criterion.
type LineMoment struct {
	Line    int             // −1 for none, and for a path that is no glue line
	Result  fracture.Result // of degree one in the load; its V is 0 where nothing opens the line
	Load    *Load
	State   string  // name of the end state or exposure
	Hour    float64 // h from the start of the exposure, 0 for an end state
	Time    int     // index of the time in the exposure, 0 for an end state
	Heights int     // levels that were judged: 1, or 3 where the board bends
	lm      *LineModel
}

// Path is where it runs; nil for no line.
func (l *LineMoment) Path() *layout.Line {
	if l.lm == nil {
		return nil
	}
	return &l.lm.Line
}

// Level is where the mean stress is highest: −1 bottom face, 0 through or middle, 1
// top face.
func (l *LineMoment) Level() int {
	if l.Heights == 1 {
		return 0
	}
	return l.Result.Level - l.Heights/2
}

// lineSweep keeps every line at its worst over all moments that count.
type lineSweep struct {
	m    *Model
	best []LineMoment
	end  LineMoment // of the last call: the worst line that opens from the rim of the board
	// Of paths that matter only above something: that, and the most moments of one call
	// that are looked at; 0 for all.
	floor float64
	few   int
}

func (m *Model) newLineSweep() *lineSweep {
	s := &lineSweep{m: m, best: make([]LineMoment, len(m.Lines))}
	for i := range s.best {
		s.best[i].Line, s.best[i].lm = i, m.Lines[i]
	}
	return s
}

// over judges all lines at the given moments and gives the worst of them. Those
// that count raise the lines' own worst. What each line bears at a moment is bounded
// first by its stress alone, and moments are taken in the order of these bounds, so
// that few need the energy.
func (s *lineSweep) over(ctx context.Context, loads []*Load, state string, hours []float64, counts bool) (LineMoment, error) {
	worst := LineMoment{Line: -1}
	s.end = LineMoment{Line: -1}
	type at struct {
		line, time int
		peak       float64
	}
	var all []at
	for i, l := range loads {
		if err := ctx.Err(); err != nil {
			return worst, err
		}
		for k, lm := range s.m.Lines {
			if p := lm.Crack.Peak(s.m.stateOf(lm, l)); p >= max(Quiet, s.floor) {
				all = append(all, at{k, i, p})
			}
		}
	}
	byPeak := func(a, b int) bool { return verdict.Worse(all[a].peak, all[b].peak) }
	sort.SliceStable(all, byPeak)
	if s.few > 0 {
		// Only stretches round the corner count, and the highest stress lies far above
		// theirs: the few are those of the highest bound, which no peak left is above.
		n := 0
		for _, a := range all {
			if n >= s.few && a.peak <= all[s.few-1].peak {
				break
			}
			lm := s.m.Lines[a.line]
			if a.peak = lm.Crack.Bound(s.m.stateOf(lm, loads[a.time])); a.peak < max(Quiet, s.floor) {
				continue
			}
			all[n] = a
			n++
			sort.SliceStable(all[:n], byPeak)
		}
		all = all[:min(s.few, n)]
	}
	for _, a := range all {
		if err := ctx.Err(); err != nil {
			return worst, err
		}
		above := worst.Result.V
		if counts {
			above = min(above, s.best[a.line].Result.V)
		}
		lm := s.m.Lines[a.line]
		var st *fracture.State
		if lm.ends != [2]*lineEnd{} && loads[a.time].rims != nil && s.end.Result.V < above {
			st = s.m.stateOf(lm, loads[a.time])
			if lm.Crack.EndBound(st, lm.ends[0] != nil, lm.ends[1] != nil) > s.end.Result.V {
				above = s.end.Result.V
			}
		}
		above = max(above, s.floor)
		if a.peak <= above {
			continue
		}
		if st == nil {
			st = s.m.stateOf(lm, loads[a.time])
		}
		r, ok, err := lm.Crack.Judge(ctx, st, max(above, Quiet))
		if err != nil {
			return worst, err
		}
		if s.m.held != nil { // a path through the wood is a line alone
			s.m.held.judged(s.m.Lines, a.line)
		}
		if !ok {
			continue
		}
		r.Joint = lm.jointOf(r.Joint)
		now := LineMoment{Line: a.line, lm: lm, Result: r, Load: loads[a.time], State: state, Hour: hours[a.time], Time: a.time, Heights: len(st.Height)}
		if verdict.Worse(r.V, worst.Result.V) {
			worst = now
		}
		if now.FromEnd(s.m) && verdict.Worse(r.V, s.end.Result.V) {
			s.end = now
		}
		if counts && verdict.Worse(r.V, s.best[a.line].Result.V) {
			s.best[a.line] = now
		}
	}
	return worst, nil
}
