package arrange

import (
	"context"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// point is one monitored point: a stretch of a joint, or wood inside a piece.
type point struct {
	joint, window int              // joint −1 for wood
	piece         int              // of wood
	patch         *influence.Patch // of wood
	at            int              // its first number in a vector of values; joints have two (N, T), wood three (xx, yy, xy)
}

// jointPoints are the rows of one joint.
type jointPoints struct {
	joint  int
	points []int
}

// monitor lists the places where the worst may come to lie.
type monitor struct {
	points []point
	joints []jointPoints
	// The mean strains of the movable pieces follow the monitored points in a vector of values.
	movable []int
	strains int // where they begin
	size    int // numbers in a vector of values
}

// Points are monitored that come within this share of the worst of their joint or
// piece in any of the sample arrangements.
const (
	samples   = 5
	nearWorst = 0.93
)

// newMonitor tries the reference and some random arrangements on the stiffness of
// the reference, and watches where joints and pieces were worst.
func newMonitor(ctx context.Context, p *extractor, s *space, ref arrangement, movable []int, seed uint64) (*monitor, error) {
	rng := rand.New(rand.NewPCG(seed, 0x3a7c))
	// nil where nothing is monitored
	joints, wood := make([]map[int]bool, len(s.board.Joints)), make([]map[int]bool, len(s.board.Pieces))
	for i, in := range s.around(movable) {
		if in {
			wood[i] = map[int]bool{}
		}
	}
	for j := range joints {
		if jt := &s.board.Joints[j]; wood[jt.A] == nil || wood[jt.B] == nil {
			continue
		}
		_, w := p.m.Glue(j)
		joints[j] = map[int]bool{0: true, len(w) - 1: true}
	}
	for n := range samples {
		a := ref.clone()
		if n > 0 {
			for _, pl := range movable {
				set := s.at(pl, ref)
				a[pl] = set[rng.IntN(len(set))]
			}
		}
		c := *p.plate
		c.Woods = append([]plate.Wood(nil), p.plate.Woods...)
		if n > 0 {
			for _, pl := range movable {
				c.Woods[pl].Unit, c.Woods[pl].At = s.variants[a[pl]].wood.Unit, nil
			}
		}
		amounts := s.loadsOf(a)
		x, err := c.Respond(ctx, plate.Membrane, amounts)
		if err != nil {
			return nil, err
		}
		s.monitorJoints(p, &c, a, x, amounts, joints)
		s.monitorWood(p, &c, a, x, amounts, wood)
	}
	w := &monitor{}
	for j, set := range joints {
		if set == nil {
			continue
		}
		jr := jointPoints{joint: j}
		for _, k := range slices.Sorted(maps.Keys(set)) {
			jr.points = append(jr.points, len(w.points))
			w.points = append(w.points, point{joint: j, window: k, piece: -1, at: w.size})
			w.size += 2
		}
		w.joints = append(w.joints, jr)
	}
	for i, set := range wood {
		for _, k := range slices.Sorted(maps.Keys(set)) {
			w.points = append(w.points, point{joint: -1, piece: i, patch: &p.all[i][k], at: w.size})
			w.size += 3
		}
	}
	w.movable, w.strains = movable, w.size
	w.size += 3 * len(movable)
	return w, nil
}

// around marks some places and their neighbours: where a change among them is felt.
func (s *space) around(places []int) []bool {
	in, out := make([]bool, len(s.board.Pieces)), make([]bool, len(s.board.Pieces))
	for _, p := range places {
		in[p], out[p] = true, true
	}
	for j := range s.board.Joints {
		if jt := &s.board.Joints[j]; in[jt.A] || in[jt.B] {
			out[jt.A], out[jt.B] = true, true
		}
	}
	return out
}

func (s *space) monitorJoints(p *extractor, m *plate.Model, a arrangement, x, amounts [][]float64, out []map[int]bool) {
	for j := range s.board.Joints {
		if out[j] == nil {
			continue
		}
		jt := &s.board.Joints[j]
		tr, windows := p.m.Glue(j)
		f := m.Forces(plate.Membrane, tr, x, amounts)
		for st := range x {
			l := s.limitsOf(j, &s.variants[a[jt.A]], &s.variants[a[jt.B]], st)
			u := make([]float64, len(windows))
			worst := 0.0
			for k := range windows {
				var n, t float64
				for q, g := range windows[k].Weight {
					n += g * f[st][q].N
					t += g * f[st][q].T
				}
				u[k] = l.Square(n, t)
				worst = math.Max(worst, u[k])
			}
			for k := range u {
				if u[k] >= worst*nearWorst*nearWorst {
					out[j][k] = true
				}
			}
		}
	}
}

func (s *space) monitorWood(p *extractor, m *plate.Model, a arrangement, x, amounts [][]float64, out []map[int]bool) {
	for st := range x {
		strain := p.strains(x[st])
		for i, squares := range p.all {
			if out[i] == nil {
				continue
			}
			l := s.variants[a[i]].limits(st)
			u := make([]float64, len(squares))
			worst := 0.0
			for k := range squares {
				sig := p.stress(m, i, &squares[k], strain, amounts[st][i])
				u[k] = l.square(sig[0], sig[1], sig[2], worst*nearWorst*nearWorst)
				worst = math.Max(worst, u[k])
			}
			for k := range u {
				if u[k] >= worst*nearWorst*nearWorst {
					out[i][k] = true
				}
			}
		}
	}
}
