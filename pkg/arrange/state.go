package arrange

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/joint"
)

// far is the share of its strongest influence below which a piece is taken to
// leave a monitored point alone while a change is only tried. A change that is
// made is added up in full.
const far = 0.03

// negligible is the share of the norm, squared, below which the wood of a
// piece is not looked at closely: u of six tenths adds a few ten-thousandths to
// the sum.
const negligible = 0.36

// settleEvery is the number of changes after which all pieces are settled.
const settleEvery = 24

// searchState is where a search stands among arrangements, on the sums of a table.
type searchState struct {
	t       *table
	a       arrangement
	values  [][]float64      // per state
	squares [][]float64      // per state and row, u²
	joint   [][]joint.Limits // per state and joint
	wood    [][]*woodLimits  // per state and piece
	d       [][][3]float64   // per state and slot: free strain beyond that of the reference
	sum     float64          // Σ (u²)^8 over states and rows
	near    [][]int          // per slot: rows it reaches
	beside  [][]int          // per place: its joints
	cap     map[[4]int]joint.Limits
	bear    map[[2]int]*woodLimits

	steps [][3]float64
	stamp []int // per row: number of the trial that looked at it
	trial int
	made  int // changes made since the last settling
}

// change puts a variant into a place.
type change struct{ place, variant int }

func newSearchState(t *table) *searchState {
	w := &searchState{t: t, a: t.ref.clone(), cap: map[[4]int]joint.Limits{}, bear: map[[2]int]*woodLimits{}, stamp: make([]int, len(t.points))}
	b := t.s.board
	w.beside = make([][]int, len(b.Pieces))
	for j := range b.Joints {
		w.beside[b.Joints[j].A] = append(w.beside[b.Joints[j].A], j)
		w.beside[b.Joints[j].B] = append(w.beside[b.Joints[j].B], j)
	}
	for _, inf := range t.influence {
		w.near = append(w.near, t.reach(inf))
	}
	for st := range t.base {
		w.values = append(w.values, append([]float64(nil), t.base[st]...))
		w.d = append(w.d, make([][3]float64, len(t.place)))
		w.squares = append(w.squares, make([]float64, len(t.points)))
		w.joint = append(w.joint, make([]joint.Limits, len(b.Joints)))
		w.wood = append(w.wood, make([]*woodLimits, len(b.Pieces)))
		for j := range b.Joints {
			w.joint[st][j] = w.bears(j, st, w.a)
		}
		for i := range b.Pieces {
			w.wood[st][i] = w.woodBears(w.a[i], st)
		}
	}
	w.resum()
	return w
}

// reach lists the rows in which an influence counts.
func (t *table) reach(inf []float64) []int {
	size := make([]float64, len(t.points))
	most := 0.0
	for i := range t.points {
		r := &t.points[i]
		for _, v := range inf[3*r.at : 3*r.at+3*r.width()] {
			size[i] = math.Max(size[i], math.Abs(v))
		}
		most = math.Max(most, size[i])
	}
	var out []int
	for i, v := range size {
		if v > far*most {
			out = append(out, i)
		}
	}
	return out
}

func (r *point) width() int {
	if r.joint >= 0 {
		return 2
	}
	return 3
}

func (w *searchState) bears(j, st int, a arrangement) joint.Limits {
	jt := &w.t.s.board.Joints[j]
	return w.bearsWith(j, st, a[jt.A], a[jt.B])
}

func (w *searchState) bearsWith(j, st, a, b int) joint.Limits {
	k := [4]int{j, st, a, b}
	l, ok := w.cap[k]
	if !ok {
		l = w.t.s.limitsOf(j, &w.t.s.variants[a], &w.t.s.variants[b], st)
		w.cap[k] = l
	}
	return l
}

func (w *searchState) woodBears(variant, st int) *woodLimits {
	k := [2]int{variant, st}
	l := w.bear[k]
	if l == nil {
		v := w.t.s.variants[variant].limits(st)
		l = &v
		w.bear[k] = l
	}
	return l
}

// resum works out every row anew.
func (w *searchState) resum() {
	floor := math.Pow(w.sum, 1.0/8) * negligible
	w.sum = 0
	for st := range w.values {
		for i := range w.t.points {
			w.squares[st][i] = w.square(st, i, w.values[st], floor)
			w.sum += eighth(w.squares[st][i])
		}
	}
}

func (w *searchState) square(st, i int, v []float64, floor float64) float64 {
	r := &w.t.points[i]
	if r.joint >= 0 {
		return w.joint[st][r.joint].Square(v[r.at], v[r.at+1])
	}
	return w.wood[st][r.piece].square(v[r.at], v[r.at+1], v[r.at+2], floor)
}

func eighth(x float64) float64 { x *= x; x *= x; return x * x }

// norm is the 16-norm of u over points and states: close above the worst, it knows
// of the places just below it.
func (w *searchState) norm() float64 { return math.Pow(w.sum, 1.0/16) }

// strainAfter is the step of free strain that a change brings in a state.
func (w *searchState) strainAfter(c change, st int) [3]float64 {
	k := w.t.slot[c.place]
	sw := &w.t.swap[k][c.variant]
	d := &w.d[st][k]
	own := matrix.Times(&w.t.own[k], d)
	var e [3]float64
	copy(e[:], w.values[st][w.t.strainOf(k):])
	for r := range e {
		e[r] -= own[r]
	}
	step := matrix.Times(&sw.by, &e)
	for r := range step {
		step[r] += sw.free[st][r] - d[r]
	}
	return step
}

// try gives the sum that some changes would bring, looking only at the rows that
// they reach.
func (w *searchState) try(cs []change) float64 {
	w.trial++
	w.steps = w.steps[:0]
	for _, c := range cs {
		for st := range w.values {
			w.steps = append(w.steps, w.strainAfter(c, st))
		}
	}
	sum := w.sum
	floor := math.Pow(w.sum, 1.0/8) * negligible
	for _, c := range cs {
		for _, i := range w.near[w.t.slot[c.place]] {
			if w.stamp[i] == w.trial {
				continue
			}
			w.stamp[i] = w.trial
			sum += w.tryPoint(i, cs, floor)
		}
	}
	return sum
}

// tryPoint gives what a row adds to the sum when changes are made.
func (w *searchState) tryPoint(i int, cs []change, floor float64) float64 {
	r := &w.t.points[i]
	out := 0.0
	for st := range w.values {
		var v [3]float64
		copy(v[:r.width()], w.values[st][r.at:])
		for n, c := range cs {
			d := &w.steps[n*len(w.values)+st]
			inf := w.t.influence[w.t.slot[c.place]][3*r.at:]
			for q := 0; q < r.width(); q++ {
				v[q] += inf[3*q]*d[0] + inf[3*q+1]*d[1] + inf[3*q+2]*d[2]
			}
		}
		var u float64
		if r.joint >= 0 {
			u = w.limitWith(r.joint, st, cs).Square(v[0], v[1])
		} else {
			l := w.wood[st][r.piece]
			for _, c := range cs {
				if c.place == r.piece {
					l = w.woodBears(c.variant, st)
				}
			}
			u = l.square(v[0], v[1], v[2], floor)
		}
		out += eighth(u) - eighth(w.squares[st][i])
	}
	return out
}

func (w *searchState) limitWith(j, st int, cs []change) *joint.Limits {
	jt := &w.t.s.board.Joints[j]
	a, b := w.a[jt.A], w.a[jt.B]
	same := true
	for _, c := range cs {
		if c.place == jt.A {
			a, same = c.variant, false
		}
		if c.place == jt.B {
			b, same = c.variant, false
		}
	}
	if same {
		return &w.joint[st][j]
	}
	l := w.bearsWith(j, st, a, b)
	return &l
}
