package fracture

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/joint"
)

func newRandom(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 11)) }

// randomLips is a line of some sides with any positive definite stiffness, and forces.
func randomLips(r *rand.Rand, sides int) (*Line, []float64) {
	l := springs(sides, 5, 1)
	l.Shut = [2]bool{false, r.IntN(2) == 0}
	for i := range l.Joint {
		l.Joint[i] = i / 3
	}
	l.Tough = []Toughness{{0.3, 0.9, 1.5}, {0.2, 0.8, 1.5}, {0.4, 1.1, 1.5}}
	n := 2 * len(l.Place)
	g := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			g.Set(i, j, r.NormFloat64())
		}
		g.Set(i, i, g.At(i, i)+4)
	}
	s := mat.NewSymDense(n, nil)
	s.SymOuterK(1, g)
	l.Stiffness = func(context.Context) (*mat.SymDense, error) { return s, nil }
	l.s = s
	l.prepare()
	f := make([]float64, n)
	for i := range f {
		f[i] = r.NormFloat64()
	}
	return l, f
}

// randomState is a line under three even cases and two of bending, with noise.
func randomState(r *rand.Rand) (*Line, *State) {
	l, _ := randomLips(r, 9)
	for range 5 {
		c := Load{}
		for range l.Place {
			c.N, c.T = append(c.N, r.NormFloat64()), append(c.T, r.NormFloat64())
		}
		for range l.Joint {
			c.SideN, c.SideT = append(c.SideN, r.NormFloat64()), append(c.SideT, r.NormFloat64())
		}
		if len(l.Membrane) < 3 {
			l.Membrane = append(l.Membrane, c)
		} else {
			l.Bending = append(l.Bending, c)
		}
	}
	st := &State{Height: []float64{-8, 0, 8}}
	for range l.Membrane {
		st.Membrane = append(st.Membrane, r.NormFloat64())
	}
	for range l.Bending {
		st.Bending = append(st.Bending, 0.1*r.NormFloat64())
	}
	strong := math.Exp(4 * r.Float64()) // so that now strength decides and now energy
	for range st.Height {
		var joints [][Parts]joint.Criterion
		for range l.Tough {
			laws := plain(0.2+0.3*r.Float64(), 0.2+0.3*r.Float64())
			laws[0].Open[1], laws[3].Slide[0] = 0.3*r.NormFloat64(), 0.3*r.NormFloat64()
			laws[1] = plain(0.2+0.3*r.Float64(), 0.2+0.3*r.Float64())[0]
			for p := range laws {
				laws[p] = laws[p].Scaled(strong, strong)
			}
			joints = append(joints, laws)
		}
		st.Criteria = append(st.Criteria, joints)
	}
	return l, st
}
