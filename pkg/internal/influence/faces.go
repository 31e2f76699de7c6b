package influence

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/layers"
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// FaceStretch is a stretch of a glue line that opens from a face: it has a length and a
// depth.
type FaceStretch struct {
	Line, Joint int     // −1 for none; the joint in its middle
	Top         bool    // from the top face
	From, To    float64 // mm along the line
	V           float64 // load over the load at which it gets past the depth that counts
	Depth       float64 // mm to which it is opened; 0 where it does not start
	Time        int     // index of the time in the exposure
	Hour        float64 // h
}

// Faces are the stretches of one exposure: the one that comes nearest to getting past the
// depth that counts, and the one that is opened deepest, with whether it was shut again
// later.
type Faces struct {
	Worst, Deepest FaceStretch
	Closes         bool
	After          float64 // h, when one first gets past the depth that counts; infinite when none does
}

// Through says that a stretch is open as deep as cracks from a face are followed.
func (m *Model) Through(s *FaceStretch) bool {
	return s.Depth >= layers.DeepestShare*m.Board.Thickness-Flat
}

// Told says that a stretch is opened deep enough to be told.
func (s *FaceStretch) Told() bool { return s.Line >= 0 && s.Depth >= layers.Default().Fine }

// faceJudge judges the glue lines of a course from one face.
//
// The stress across a line at a height is what membrane and bending bring, and what
// balances itself through the thickness on its two sides: between two free sections the
// mean of both, as in balance and with one strain along the line. Mean stress over a
// depth meets the strength of every part of the joint with opening and sliding together;
// the energy is that of opening, by the weight function of an edge crack, over the square
// of the ellipse's integral, Q = 1 + 1.464·(2d/l)^1.65, for a stretch of a length l
// (Newman and Raju, Engineering Fracture Mechanics 15, 1981; from memory), and of membrane
// and bending no more than parting the whole stretch sets free (relieve). Both must
// suffice over more than a third of the thickness, as at the ends of lines: a check that
// starts in a skin at its strength and runs on by energy alone is not taken to open a
// line, since what pulls at it from the board sheds its load as it goes. The energy of
// sliding is left to stretches through the thickness, which lips know of.
type faceJudge struct {
	m     *Model
	c     *LoadHistory
	side  int // 1 for the top
	face  *layers.Face
	yield []float64      // per kind, J/m² that one MPa·√m sets free
	rest  [][]faceStress // per kind, at the time at hand
	shape [len(spans)][]float64
	out   *Faces
	// Of the line at hand: running sums over its sides, and one stretch of it.
	sums, tough, stress, energy, endless []float64
	asked                                [][]asked // per depth, running sums over the sides; empty until asked for
}

// asked is what opening and sliding ask of the parts of a joint, added up.
type asked [fracture.Parts][2]float64

// levelAt is the level of a state nearest to a face, 0 the bottom.
func levelAt(st *fracture.State, side int) int { return side * (len(st.Height) - 1) }

// judgeFaces judges all glue lines from both faces through a course. Errors: the
// context's.
func (m *Model) judgeFaces(ctx context.Context, c *LoadHistory, loads []*Load) (Faces, error) {
	out := Faces{Worst: FaceStretch{Line: -1}, Deepest: FaceStretch{Line: -1}, After: math.Inf(1)}
	if len(m.Lines) == 0 {
		return out, nil
	}
	yield := make([]float64, len(m.Kinds))
	for k := range yield {
		yield[k] = m.Kinds[k].splitting().Release(1)
	}
	sides := make([][]lineRest, len(m.Lines))
	for i, lm := range m.Lines {
		sides[i] = m.lineRests(lm)
	}
	for side := range 2 {
		j := &faceJudge{m: m, c: c, side: side, face: c.Shape[0].through.faces[side], yield: yield, out: &out}
		depths := len(j.face.Depth)
		j.rest, j.shape = make([][]faceStress, len(m.Kinds)), m.shapes(j.face)
		j.stress, j.energy, j.endless = make([]float64, depths), make([]float64, depths), make([]float64, depths)
		j.asked = make([][]asked, depths)
		for q := range j.endless {
			j.endless[q] = math.Inf(1)
		}
		for t, l := range loads {
			if err := ctx.Err(); err != nil {
				return out, err
			}
			if !j.at(t) {
				continue // no face is pulled
			}
			for i, lm := range m.Lines {
				if err := j.judge(ctx, i, lm, sides[i], t, l); err != nil {
					return out, err
				}
			}
		}
	}
	out.Closes = m.closes(c, loads, sides, &out.Deepest)
	return out, nil
}

// lineRest is what the two sides of a joint of a line bring through the thickness: their
// kinds, and the shares of their self-balanced stress across the line and along it, half
// of each.
type lineRest struct {
	kind [2]int
	n, t [2]float64
}

func (m *Model) lineRests(lm *LineModel) []lineRest {
	out := make([]lineRest, len(lm.Line.Joints))
	for i, lj := range lm.Line.Joints {
		jt := &m.Board.Joints[lj.Joint]
		n, t := Normal(jt)
		for s, p := range [2]int{jt.A, jt.B} {
			k := m.KindOf[p]
			q := matrix.Times(&m.Wood[p].Q, &m.Wood[p].Unit)
			half := 0.5 / m.Kinds[k].surface.stress
			out[i].kind[s] = k
			out[i].n[s] = half * (n[0]*n[0]*q[0] + n[1]*n[1]*q[1] + 2*n[0]*n[1]*q[2])
			out[i].t[s] = half * (n[0]*t[0]*q[0] + n[1]*t[1]*q[1] + (n[0]*t[1]+n[1]*t[0])*q[2])
		}
	}
	return out
}

// at takes what every kind brings at a time; false where no kind's face is pulled.
func (j *faceJudge) at(t int) bool {
	pulled := false
	depths := len(j.face.Depth)
	for k := range j.m.Kinds {
		j.rest[k] = j.c.Shape[k].through.atFaces[j.side][t*depths : (t+1)*depths]
		pulled = pulled || j.rest[k][0].mean > Quiet // a face that is pressed starts no crack
	}
	return pulled
}

// across is the mean [MPa] across the line and along it, and the stress intensity
// [MPa·√m], that the sides of a joint bring at a depth.
func (j *faceJudge) across(r *lineRest, q int) (n, t, k float64) {
	for s, kind := range r.kind {
		x := &j.rest[kind][q]
		n, t, k = n+r.n[s]*x.mean, t+r.t[s]*x.mean, k+r.n[s]*x.intensity
	}
	return n, t, k
}

// spans are the lengths of the stretches that are tried, over the thickness; the last is
// the whole line. None is shorter than twice the depth that cracks are followed to.
var spans = [...]float64{1, 2, 4, math.Inf(1)}

// judge judges a line at a time. Few stretches have the energy to matter, and only of
// those the stress is asked.
func (j *faceJudge) judge(ctx context.Context, line int, lm *LineModel, rests []lineRest, t int, l *Load) error {
	c, f := lm.Crack, j.face
	pulls := c.Pulls(j.m.casesAt(lm, l))
	sides, depths := len(c.Joint), len(f.Depth)
	if !j.worth(lm, rests, &pulls) {
		return nil
	}
	j.energies(lm, rests, &pulls)
	whole := c.Place[2*sides] - c.Place[0]
	var st *fracture.State
	h := j.m.Board.Thickness
	for k, share := range spans {
		span := min(share*h, whole)
		b := 0
		for a := range sides {
			for b < sides && c.Place[2*b]-c.Place[2*a] < span-Flat {
				b++
			}
			long := c.Place[2*b] - c.Place[2*a]
			if long < span-Flat {
				break
			}
			if long-(c.Place[2*a+2]-c.Place[2*a]) >= span-Flat {
				continue // a shorter one ends there too: so that it does not matter where a line begins
			}
			if !j.matters(a, b, k, long) {
				continue
			}
			if st == nil {
				st = j.m.stateOf(lm, l)
				st.Own = nil // what the rim brings is judged as the line's end
				for q := range j.asked {
					j.asked[q] = j.asked[q][:0]
				}
			}
			criteria := st.Criteria[levelAt(st, j.side)]
			opens := false
			for q := range depths { // where the energy leaves something to find
				before := opens
				opens = j.deeper(q) && j.energy[q] >= 0.99
				if j.stress[q] = 0; opens || before || q >= f.Deep && j.energy[q] > j.out.Worst.V {
					j.stress[q] = j.stressOn(lm, criteria, rests, &pulls, a, b, q) / long
				}
			}
			if err := j.relieve(ctx, lm, rests, st, &pulls, a, b, k); err != nil {
				return err
			}
			now := FaceStretch{Line: line, Joint: lm.jointOf(c.Joint[(a+b)/2]), Top: j.side == 1, From: c.Place[2*a], To: c.Place[2*b], V: f.Passes(j.stress, j.energy), Depth: f.Opens(j.stress, j.energy), Time: t, Hour: j.c.Times[t]}
			if verdict.Worse(now.V, j.out.Worst.V) {
				j.out.Worst = now
			}
			if now.V >= verdict.FromFails {
				j.out.After = min(j.out.After, now.Hour)
			}
			if verdict.Worse(now.Depth, j.out.Deepest.Depth) {
				j.out.Deepest = now
			}
		}
	}
	return nil
}

// relieve lowers what membrane and bending bring to the energy of a stretch to what the
// board has for it: parting all of it through the thickness sets free U = G·l·h, and no
// part of it more, so that their share of the energy by area is at most G·h/d.
func (j *faceJudge) relieve(ctx context.Context, lm *LineModel, rests []lineRest, st *fracture.State, pulls *fracture.Pulls, a, b, span int) error {
	c, f := lm.Crack, j.face
	if f.Passes(j.stress, j.energy) <= j.out.Worst.V && f.Opens(j.stress, j.energy) <= j.out.Deepest.Depth {
		return nil // as it is
	}
	whole, _, err := c.Release(ctx, st, c.Place[2*a], c.Place[2*b])
	if ctx.Err() != nil {
		return err
	}
	if err != nil { // a part would float, or contact was not found: taken as it is
		return nil
	}
	needs := (c.Place[2*b] - c.Place[2*a]) * (j.tough[b] - j.tough[a])
	needed := (j.tough[b] - j.tough[a]) / (c.Place[2*b] - c.Place[2*a]) // J/m²
	for q, d := range f.Depth {
		board := 0.0
		for i := a; i < b; i++ {
			r := &rests[lm.jointOf(c.Joint[i])]
			board += math.Sqrt((j.yield[r.kind[0]]+j.yield[r.kind[1]])/2) * (f.Even[q]*pulls.N[i] + f.Bent[q]*pulls.BendN[i])
		}
		board *= math.Sqrt(j.shape[span][q] / needs)
		most := math.Sqrt(joulesPerNewton * whole * j.m.Board.Thickness / d / needed)
		j.energy[q] = max(0, j.energy[q]-max(0, board-most))
	}
	return nil
}

// worth tells whether any one side has the energy to be worse than what is known: no
// stretch of several has more. Joint by joint first, by the side that is pulled most.
func (j *faceJudge) worth(lm *LineModel, rests []lineRest, pulls *fracture.Pulls) bool {
	c, f := lm.Crack, j.face
	sides, depths := len(c.Joint), len(f.Depth)
	worst := j.out.Worst.V * j.out.Worst.V
	enough := func(q int, r, tough float64) bool { // r² and tough per mm of the line
		return r > 0 && (q >= f.Deep && r*r > worst*tough || r*r >= 0.98*tough && j.deeper(q))
	}
	for from, to := 0, 0; from < sides; from = to {
		joint := lm.jointOf(c.Joint[from])
		least := math.Inf(1)
		var even, bent [2]float64 // least and most pull per mm
		even, bent = [2]float64{math.Inf(1), math.Inf(-1)}, [2]float64{math.Inf(1), math.Inf(-1)}
		for to = from; to < sides && lm.jointOf(c.Joint[to]) == joint; to++ {
			h := c.Place[2*to+2] - c.Place[2*to]
			n, b := pulls.N[to]/h, pulls.BendN[to]/h
			even, bent = [2]float64{min(even[0], n), max(even[1], n)}, [2]float64{min(bent[0], b), max(bent[1], b)}
			least = min(least, joulesPerNewton*c.Tough[c.Joint[to]].Open)
		}
		r := &rests[joint]
		root := math.Sqrt((j.yield[r.kind[0]] + j.yield[r.kind[1]]) / 2)
		for q := range depths {
			_, _, rest := j.across(r, q)
			if !enough(q, root*(max(f.Even[q]*even[0], f.Even[q]*even[1])+max(f.Bent[q]*bent[0], f.Bent[q]*bent[1])+rest), least) {
				continue
			}
			for i := from; i < to; i++ {
				h := c.Place[2*i+2] - c.Place[2*i]
				if enough(q, root*((f.Even[q]*pulls.N[i]+f.Bent[q]*pulls.BendN[i])/h+rest), joulesPerNewton*c.Tough[c.Joint[i]].Open) {
					return true
				}
			}
		}
	}
	return false
}

// energies adds up over the sides of a line, per depth, the root of the energy that
// opening sets free, and the toughness.
func (j *faceJudge) energies(lm *LineModel, rests []lineRest, pulls *fracture.Pulls) {
	c, f := lm.Crack, j.face
	sides, depths := len(c.Joint), len(f.Depth)
	if need := depths * (sides + 1); cap(j.sums) < need {
		j.sums, j.tough = make([]float64, need), make([]float64, sides+1)
	}
	j.sums, j.tough = j.sums[:depths*(sides+1)], j.tough[:sides+1]
	last, root := -1, 0.0
	for i, lj := range c.Joint {
		h := c.Place[2*i+2] - c.Place[2*i]
		j.tough[i+1] = j.tough[i] + joulesPerNewton*c.Tough[lj].Open*h
		if k := lm.jointOf(lj); k != last { // the sides of a joint have one rest
			last = k
			r := &rests[k]
			root = math.Sqrt((j.yield[r.kind[0]] + j.yield[r.kind[1]]) / 2)
			for q := range depths {
				_, _, j.stress[q] = j.across(r, q)
			}
		}
		at := j.sums[i*depths : (i+2)*depths]
		for q := range depths {
			at[depths+q] = at[q] + root*(f.Even[q]*pulls.N[i]+f.Bent[q]*pulls.BendN[i]+j.stress[q]*h)
		}
	}
}

// deeper says that a crack that is opened over a depth may be deeper than any so far: it
// ends before the next.
func (j *faceJudge) deeper(q int) bool {
	return j.face.Depth[min(q+1, len(j.face.Depth)-1)] > j.out.Deepest.Depth
}

// matters works out the energy of the stretch between two side ends, of a length [mm]
// and a number in spans, and tells whether it could be worse than what is known if the
// stress sufficed everywhere.
func (j *faceJudge) matters(a, b, span int, long float64) bool {
	f := j.face
	depths := len(f.Depth)
	from, to := j.sums[a*depths:(a+1)*depths], j.sums[b*depths:(b+1)*depths]
	needs := long * (j.tough[b] - j.tough[a])
	worst := j.out.Worst.V * j.out.Worst.V * needs
	some := false
	for q := f.Deep; q < depths && !some; q++ {
		r := to[q] - from[q]
		some = r > 0 && r*r*j.shape[span][q] > worst
	}
	for q := 0; q < depths && !some; q++ {
		r := to[q] - from[q]
		some = j.deeper(q) && r > 0 && r*r*j.shape[span][q] >= 0.99*needs
	}
	if !some {
		return false
	}
	for q := range depths {
		j.energy[q] = math.Sqrt(j.shape[span][q]/needs) * max(0, to[q]-from[q])
	}
	return f.Passes(j.endless, j.energy) > j.out.Worst.V || f.Opens(j.endless, j.energy) > j.out.Deepest.Depth
}

// stressOn is what the part that is asked most bears on a stretch, its opening and sliding
// added up over the sides: over the length it is mean stress over strength.
func (j *faceJudge) stressOn(lm *LineModel, criteria [][fracture.Parts]joint.Criterion, rests []lineRest, pulls *fracture.Pulls, a, b, q int) (most float64) {
	if len(j.asked[q]) == 0 {
		j.ask(lm, criteria, rests, pulls, q)
	}
	from, to := &j.asked[q][a], &j.asked[q][b]
	for p := range to {
		most = max(most, joint.Together(to[p][0]-from[p][0], to[p][1]-from[p][1]))
	}
	return most
}

// ask adds up over the sides of a line what its parts are asked at a depth.
func (j *faceJudge) ask(lm *LineModel, criteria [][fracture.Parts]joint.Criterion, rests []lineRest, pulls *fracture.Pulls, q int) {
	c, z := lm.Crack, j.face.Height[q]
	sum := asked{}
	all := append(j.asked[q], sum)
	last, rn, rt := -1, 0.0, 0.0
	for i, lj := range c.Joint {
		if k := lm.jointOf(lj); k != last { // the sides of a joint have one rest
			last = k
			rn, rt, _ = j.across(&rests[k], q)
		}
		h := c.Place[2*i+2] - c.Place[2*i]
		n, s := pulls.N[i]+z*pulls.BendN[i]+rn*h, pulls.T[i]+z*pulls.BendT[i]+rt*h
		for p := range fracture.Parts {
			o, k := criteria[lj][p].Terms(n, s)
			sum[p] = [2]float64{sum[p][0] + o, sum[p][1] + k}
		}
		all = append(all, sum)
	}
	j.asked[q] = all
}

// shapes are the squares of the ellipse's integral, inverse, for the spans and the depths
// of a face; 1 for a crack that runs the whole line.
func (m *Model) shapes(f *layers.Face) (out [len(spans)][]float64) {
	for k, span := range spans {
		for _, d := range f.Depth {
			out[k] = append(out[k], 1/(1+1.464*math.Pow(2*d/(span*m.Board.Thickness), 1.65)))
		}
	}
	return out
}

// closes tells that a stretch that was opened was pressed at its face later on.
func (m *Model) closes(c *LoadHistory, loads []*Load, sides [][]lineRest, s *FaceStretch) bool {
	if !s.Told() {
		return false
	}
	lm := m.Lines[s.Line]
	side := 0
	if s.Top {
		side = 1
	}
	face := c.Shape[0].through.faces[side]
	r := &sides[s.Line][s.Joint]
	for t := s.Time + 1; t < len(loads); t++ {
		pulls := lm.Crack.Pulls(m.casesAt(lm, loads[t]))
		sum := 0.0
		for i, lj := range lm.Crack.Joint {
			if lm.Crack.Place[2*i] < s.From-Flat || lm.Crack.Place[2*i+2] > s.To+Flat || lm.jointOf(lj) != s.Joint {
				continue
			}
			rest := 0.0
			for k, kind := range r.kind {
				rest += r.n[k] * c.Shape[kind].through.atFaces[side][t*len(face.Depth)].mean
			}
			sum += pulls.N[i] + face.Height[0]*pulls.BendN[i] + rest*(lm.Crack.Place[2*i+2]-lm.Crack.Place[2*i])
		}
		if sum < 0 {
			return true
		}
	}
	return false
}
