package arrange

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Spread is the utilisation of a board whose pieces were glued 2 % MC apart at
// most, each 1 % above or below, and then settle to one moisture at once.
type Spread struct {
	Worst       float64 // dimensionless, whichever pieces are damp and whichever dry
	Place       string  // joint or piece that sets it
	Alternating float64 // dimensionless, damp and dry pieces taking turns, neighbour by neighbour
}

// mostSpread is the largest board for which the pieces' influences are all
// worked out; beyond it the window is left out.
const mostSpread = 250

// headings is the number of directions in which the sums of influences are
// searched: half a step off, the largest sum is missed by 1 − cos(π/128) = 0.03 % at most.
const headings = 64

// SpreadOf adds up influences. The stress at a place under pieces that are
// off by s·h each, s between −1 and 1, is largest with every s at one end. Its
// size in a direction of the plane of utilisation is the sum of the sizes of all
// influences there; the worst pattern is that of the worst direction.
// nil for a board without joints, with too many pieces, or that feels nothing.
//
// Errors: those of influence.ConstantsOf, or the context's.
func SpreadOf(ctx context.Context, m *influence.Model, f *layout.File, c check.Conditions) (*Spread, error) {
	if err := ctx.Err(); err != nil {
		return nil, err // also when no time was left for the model
	}
	b := m.Board
	if len(b.Pieces) > mostSpread || len(b.Joints) == 0 {
		return nil, nil
	}
	s, err := newSpace(ctx, f, c, Options{})
	if err != nil {
		return nil, err
	}
	all := make([]int, len(b.Pieces))
	for i := range all {
		all[i] = i
	}
	t, err := newTable(ctx, s, m, s.start(), all, 1)
	if err != nil {
		return nil, err
	}
	sign := alternating(b)
	worst, turns, at := 0.0, 0.0, ""
	for i := range t.points {
		any, alt := t.spread(i, sign)
		turns = math.Max(turns, alt)
		if any > worst {
			worst = any
			if r := &t.points[i]; r.joint >= 0 {
				at = b.Joints[r.joint].ID
			} else {
				at = b.Pieces[r.piece].ID
			}
		}
	}
	if worst == 0 || turns == 0 {
		return nil, nil
	}
	return &Spread{worst, at, turns}, nil
}

// alternating gives the pieces the signs 1 and −1 in turn, from neighbour to
// neighbour as far as that goes.
func alternating(b *layout.Board) []float64 {
	beside := make([][]int, len(b.Pieces))
	for j := range b.Joints {
		p, q := b.Joints[j].A, b.Joints[j].B
		beside[p], beside[q] = append(beside[p], q), append(beside[q], p)
	}
	sign := make([]float64, len(b.Pieces))
	for first := range sign {
		if sign[first] != 0 {
			continue
		}
		sign[first] = 1
		for queue := []int{first}; len(queue) > 0; queue = queue[1:] {
			for _, q := range beside[queue[0]] {
				if sign[q] == 0 {
					sign[q] = -sign[queue[0]]
					queue = append(queue, q)
				}
			}
		}
	}
	return sign
}

// spread is the utilisation at a monitored point when every piece is off by 1 %
// MC: to the side that is worst there, and to the sides given.
func (t *table) spread(i int, sign []float64) (worst, given float64) {
	r := &t.points[i]
	influence := func(k, q int) float64 { // of 1 % MC of piece k on value q
		inf, unit := t.influence[k][3*(r.at+q):], &t.s.variants[t.ref[t.place[k]]].wood.Unit
		return inf[0]*unit[0] + inf[1]*unit[1] + inf[2]*unit[2]
	}
	n, s := make([]float64, len(t.place)), make([]float64, len(t.place))
	keep := func() {
		worst = math.Max(worst, furthest(n, s))
		var a, b float64
		for k, pl := range t.place {
			a, b = a+sign[pl]*n[k], b+sign[pl]*s[k]
		}
		given = math.Max(given, math.Hypot(a, b)) // one way or the other it opens
	}
	if r.joint >= 0 {
		jt := &t.s.board.Joints[r.joint]
		l := t.s.limitsOf(r.joint, &t.s.variants[t.ref[jt.A]], &t.s.variants[t.ref[jt.B]], 0)
		for law := range l.Criteria() {
			for k := range n {
				n[k], s[k] = law.Terms(influence(k, 0), influence(k, 1))
			}
			keep()
		}
		return worst, given
	}
	l := t.s.variants[t.ref[r.piece]].limits(0)
	for i := range l.planes {
		p := &l.planes[i]
		for k := range n {
			n[k], s[k] = p.Law.Terms(p.Traction([3]float64{influence(k, 0), influence(k, 1), influence(k, 2)}))
		}
		keep()
	}
	return worst, given
}

// furthest is the largest length of a sum of vectors (n, s), each taken with one
// sign or the other. With the signs that give it also the opposite is possible,
// so one of the two opens.
func furthest(n, s []float64) float64 {
	worst := 0.0
	for h := 0; h < headings; h++ {
		sin, cos := math.Sincos(float64(h) * math.Pi / headings)
		sum := 0.0
		for k := range n {
			sum += math.Abs(cos*n[k] + sin*s[k])
		}
		worst = math.Max(worst, sum)
	}
	return worst
}
