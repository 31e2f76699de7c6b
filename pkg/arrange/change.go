package arrange

import (
	"slices"

	"github.com/tanrad/tanrad/pkg/joint"
)

// make makes changes and adds them up everywhere.
func (w *searchState) make(cs []change) {
	for _, c := range cs {
		for st := range w.values {
			w.step(st, w.t.slot[c.place], w.strainAfter(c, st))
		}
		w.a[c.place] = c.variant
		for st := range w.wood {
			w.wood[st][c.place] = w.woodBears(c.variant, st)
		}
	}
	for _, c := range cs {
		for _, j := range w.beside[c.place] {
			for st := range w.joint {
				w.joint[st][j] = w.bears(j, st, w.a)
			}
		}
	}
	if w.made += len(cs); w.made >= settleEvery {
		w.settle()
	}
	w.resum()
}

// step adds free strain in one place.
func (w *searchState) step(st, slot int, by [3]float64) {
	v, inf := w.values[st], w.t.influence[slot]
	for i := range v {
		v[i] += inf[3*i]*by[0] + inf[3*i+1]*by[1] + inf[3*i+2]*by[2]
	}
	for k := range by {
		w.d[st][slot][k] += by[k]
	}
}

// settle lets every piece feel the strain that the others have brought since:
// the softer or stiffer it has become, the more it matters.
func (w *searchState) settle() {
	for st := range w.values {
		for k, pl := range w.t.place {
			w.step(st, k, w.strainAfter(change{pl, w.a[pl]}, st))
		}
	}
	w.made = 0
}

// saved is a state as it stood, to come back to.
type saved struct {
	a       arrangement
	values  [][]float64
	squares [][]float64
	joint   [][]joint.Limits
	wood    [][]*woodLimits
	d       [][][3]float64
	sum     float64
	made    int
}

func copies[T any](from [][]T) [][]T {
	out := make([][]T, len(from))
	for i := range from {
		out[i] = slices.Clone(from[i])
	}
	return out
}

func (w *searchState) save() *saved {
	return &saved{w.a.clone(), copies(w.values), copies(w.squares), copies(w.joint), copies(w.wood), copies(w.d), w.sum, w.made}
}

// restore goes back to what was saved, which then belongs to the search.
func (w *searchState) restore(v *saved) {
	w.a, w.values, w.squares, w.joint, w.wood, w.d = v.a, v.values, v.squares, v.joint, v.wood, v.d
}

// goTo walks to an arrangement.
func (w *searchState) goTo(a arrangement) {
	var cs []change
	for i := range a {
		if a[i] != w.a[i] {
			cs = append(cs, change{i, a[i]})
		}
	}
	if len(cs) > 0 {
		w.make(cs)
	}
	w.settle()
	w.settle()
	w.resum()
}
