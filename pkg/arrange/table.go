package arrange

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// batch is the number of pieces whose influences are solved for at once; it
// bounds the memory.
const batch = 16

// table holds how the stress at every monitored point answers to the free strain
// of every movable piece, on the stiffness of one arrangement.
type table struct {
	*monitor
	s     *space
	ref   arrangement
	place []int // movable places
	slot  []int // place → index in the above, −1

	influence [][]float64 // per slot: value i for one unit of free strain k at [3*i+k], MPa (or strain)
	base      [][]float64 // per state: values of the reference
	own       [][3][3]float64
	// swap[slot][variant] tells what a variant does in a place; see swap.
	swap [][]swap
}

// swap gives the free strain that, on the stiffness of the reference, does to
// the outside what a variant does: d = by·ε + free[state] beyond that of the
// reference, for a piece whose mean strain without d would be ε.
type swap struct {
	by   [3][3]float64
	free [][3]float64
}

// newTable solves for the influences of the movable places around the reference
// arrangement, whose exact model is m.
func newTable(ctx context.Context, s *space, m *influence.Model, ref arrangement, movable []int, seed uint64) (*table, error) {
	t := &table{s: s, ref: ref, place: movable, slot: make([]int, len(ref))}
	for i := range t.slot {
		t.slot[i] = -1
	}
	for k, p := range movable {
		t.slot[p] = k
	}
	p := newExtractor(m)
	var err error
	if t.monitor, err = newMonitor(ctx, p, s, ref, movable, seed); err != nil {
		return nil, err
	}
	amounts := s.loadsOf(ref)
	x, err := m.Plate.Respond(ctx, plate.Membrane, amounts)
	if err != nil {
		return nil, err
	}
	t.base = p.valuesOf(m.Plate, t.monitor, x, amounts)
	for from := 0; from < len(movable); from += batch {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		some := movable[from:min(from+batch, len(movable))]
		xs, err := p.unitStrains(ctx, some)
		if err != nil {
			return nil, err
		}
		got := p.unitValues(t.monitor, some, xs)
		for i, pl := range some {
			inf := make([]float64, 3*t.size)
			var own [3][3]float64 // mean strain of a piece per unit of its own free strain
			for k := 0; k < 3; k++ {
				for v, f := range got[3*i+k] {
					inf[3*v+k] = f
				}
				copy3(&own, k, got[3*i+k][t.strainOf(t.slot[pl]):])
			}
			t.influence = append(t.influence, inf)
			t.own = append(t.own, own)
		}
	}
	t.swaps()
	return t, nil
}

// strainOf is where the mean strain of a movable piece stands among the values.
func (t *table) strainOf(slot int) int { return t.strains + 3*slot }

func copy3(m *[3][3]float64, column int, v []float64) {
	for r := range m {
		m[r][column] = v[r]
	}
}

// swaps works out, for every variant that may lie in a movable place, what it
// does to the outside.
func (t *table) swaps() {
	for k, pl := range t.place {
		ref := &t.s.variants[t.ref[pl]]
		inv := matrix.Inverse(&ref.wood.Q)
		list := make([]swap, len(t.s.variants))
		for _, id := range t.s.allowed(pl) {
			list[id] = newSwap(&inv, ref, &t.s.variants[id], &t.own[k])
		}
		t.swap = append(t.swap, list)
	}
}

// newSwap solves σ = Q'(ε − e') = Q(ε − e) for e, where the mean strain ε moves
// by own·d with d = e − e0: with m = Q⁻¹Q',
//
//	(I − (I−m)·own)·d = (I−m)·ε + m·e' − e0
func newSwap(inv *[3][3]float64, ref, v *variant, own *[3][3]float64) swap {
	m := matrix.Product(inv, &v.wood.Q)
	var left, a [3][3]float64
	for r := range m {
		for c := range m {
			left[r][c] = -m[r][c]
		}
		left[r][r]++
	}
	lo := matrix.Product(&left, own)
	for r := range a {
		for c := range a {
			a[r][c] = -lo[r][c]
		}
		a[r][r]++
	}
	b := matrix.Inverse(&a)
	out := swap{by: matrix.Product(&b, &left)}
	for st := range v.load {
		var e1, d [3]float64
		for k := range e1 {
			e1[k] = v.wood.Unit[k] * v.load[st]
		}
		d = matrix.Times(&m, &e1)
		for k := range d {
			d[k] -= ref.wood.Unit[k] * ref.load[st]
		}
		out.free = append(out.free, matrix.Times(&b, &d))
	}
	return out
}

// loadsOf gives the amounts of every place for every state, % MC.
func (s *space) loadsOf(a arrangement) [][]float64 {
	out := vectors(s.states, len(a))
	for st := range out {
		for i, id := range a {
			out[st][i] = s.variants[id].load[st]
		}
	}
	return out
}

// allowed lists the variants that may lie in a place.
func (s *space) allowed(place int) []int {
	for _, set := range s.like {
		for _, p := range set {
			if p != place {
				continue
			}
			var out []int
			for _, q := range set {
				out = append(out, s.of[q]...)
			}
			return out
		}
	}
	return s.of[place]
}
