package fracture

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/joint"
)

// longLine is a line of many sides that holds together over some length, as a board
// does, under random tractions: pressed here, pulled there.
func longLine(seed uint64, sides int) (*Line, *State) {
	r := newRandom(seed)
	l := springs(sides, 3, 1)
	for i := range l.Joint {
		l.Joint[i] = 4 * i / sides
	}
	l.Shut = [2]bool{r.IntN(2) == 0, r.IntN(2) == 0}
	l.Tough = nil
	for range 4 {
		open := 0.2 + 0.2*r.Float64()
		l.Tough = append(l.Tough, Toughness{open, 3 * open, 1.5})
	}
	n := len(l.Place)
	s := mat.NewSymDense(2*n, nil)
	reach := 3 + 20*r.Float64() // mm
	for a := range n {
		for b := a; b < n; b++ {
			k := 2e4 * math.Exp(-math.Abs(l.Place[a]-l.Place[b])/reach)
			s.SetSym(2*a, 2*b, k)
			s.SetSym(2*a+1, 2*b+1, 0.7*k)
			if a != b {
				s.SetSym(2*a, 2*b+1, 0.05*k)
				s.SetSym(2*a+1, 2*b, -0.05*k)
			}
		}
		s.SetSym(2*a, 2*a, 1.2*s.At(2*a, 2*a))
		s.SetSym(2*a+1, 2*a+1, 1.2*s.At(2*a+1, 2*a+1))
	}
	l.Stiffness = func(context.Context) (*mat.SymDense, error) { return s, nil }
	bias := 1.5 * r.NormFloat64()
	waves := [2]float64{1 + 5*r.Float64(), 1 + 5*r.Float64()}
	c := Load{N: make([]float64, n), T: make([]float64, n)}
	for i := range sides {
		x := (float64(i) + 0.5) / float64(sides)
		normal := bias + 3*math.Sin(waves[0]*x*math.Pi) + r.NormFloat64()
		along := 3*math.Cos(waves[1]*x*math.Pi) + r.NormFloat64()
		h := l.length(i, i+1)
		c.SideN, c.SideT = append(c.SideN, normal*h), append(c.SideT, along*h)
		for q, w := range [3]float64{1.0 / 6, 4.0 / 6, 1.0 / 6} {
			c.N[2*i+q] += w * normal * h * l.Thickness
			c.T[2*i+q] += w * along * h * l.Thickness
		}
	}
	l.Membrane = []Load{c}
	strong := math.Exp(1 + 3*r.Float64()) // so that now energy decides and now strength
	laws := [][Parts]joint.Criterion{}
	for range l.Tough {
		laws = append(laws, plain(strong, 1.3*strong))
	}
	return l, &State{Membrane: []float64{1}, Height: []float64{0}, Criteria: [][][Parts]joint.Criterion{laws}}
}

// every works out every stretch from the end of a joint to the end of a side, each by
// itself, and where from one to the next stress comes to lie below energy: v of the line
// with nothing left out.
func every(t *testing.T, l *Line, st *State) (v float64, touch bool) {
	t.Helper()
	l.prepare()
	n := len(l.Joint)
	type length struct{ at, stress, ratio float64 }
	for k := range l.starts {
		s := &l.starts[k]
		var last *length
		for tip := 1; s.at+tip*s.step >= 0 && s.at+tip*s.step <= n; tip++ {
			from, to := l.Place[2*s.at], l.Place[2*(s.at+tip*s.step)]
			g, slide, err := l.Release(t.Context(), st, min(from, to), max(from, to))
			require.NoError(t, err)
			m := l.at(st)
			now := &length{at: l.tipAt(s, tip)}
			now.stress, _, _ = m.stress(s.at, now.at)
			now.ratio = g / l.toughness(s.at, s.at+tip*s.step).Energy(slide)
			v = max(v, min(now.stress, math.Sqrt(now.ratio)))
			if last != nil && last.stress*last.stress > last.ratio && now.stress*now.stress < now.ratio {
				lo, hi := 0.0, 1.0
				for range 50 {
					x := (lo + hi) / 2
					if q, _, _ := m.stress(s.at, last.at+x*(now.at-last.at)); q*q > last.ratio+x*(now.ratio-last.ratio) {
						lo = x
					} else {
						hi = x
					}
				}
				v = max(v, math.Sqrt(last.ratio+lo*(now.ratio-last.ratio)))
			}
			last = now
			touch = touch || slide > 0.999
		}
	}
	return v, touch
}

// Lengths are tried by halving what can still be worse: that leaves nothing out, with
// lips that touch, open or do both.
func TestHalvingFindsWhatEveryLengthGives(t *testing.T) {
	touched, opened, governs := 0, 0, map[Governs]int{}
	for seed := range uint64(14) {
		l, st := longLine(seed, 26)
		got := judge(t, l, st)
		want, _ := every(t, l, st)
		assert.InEpsilon(t, want, got.V, 2*alike, "line %d: %+v", seed, got)
		governs[got.Governs]++
		g, _, err := l.Release(t.Context(), st, got.From, got.To)
		require.NoError(t, err)
		if got.Sliding > 0.5 && g > 0 {
			touched++
		} else {
			opened++
		}
	}
	assert.Greater(t, touched, 2, "the lips touch on some")
	assert.Greater(t, opened, 2, "and on others do not")
	assert.Greater(t, governs[Energy], 0)
	assert.Greater(t, governs[Both]+governs[Strength], 2)
	t.Log(touched, opened, governs)
}

// The whole judgement of a line in one state, by the number of its sides.
func BenchmarkJudge(b *testing.B) {
	for _, sides := range []int{10, 30, 100} {
		b.Run(fmt.Sprint(sides), func(b *testing.B) {
			for range b.N {
				b.StopTimer()
				lines := make([]*Line, 8)
				states := make([]*State, 8)
				for i := range lines {
					lines[i], states[i] = longLine(uint64(i), sides)
				}
				b.StartTimer()
				for i, l := range lines {
					if _, _, err := l.Judge(b.Context(), states[i], 0); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}
