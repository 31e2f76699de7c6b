package layers

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// criterion is S and E of a face under a stress, by a strength [MPa] and a toughness as
// stress intensity [MPa·√m].
func criterion(f *Face, stress []float64, strength, tough float64) (s, e []float64) {
	for q := range f.Depth {
		s, e = append(s, f.Mean(q, stress)/strength), append(e, math.Max(0, f.Intensity(q, stress))/tough)
	}
	return s, e
}

// Even and bending stress in closed form: means are those of a straight line, and a
// crack of 0.4 of a strip has K/σ√(πa) of 2.112 in tension and 1.260 in bending (Tada,
// Paris and Irwin, from memory), so that both together pass where the sum of both does.
func TestStraightStressPassesInClosedForm(t *testing.T) {
	const h, even, bend, strength, tough = 40.0, 2.0, 1.5, 5.0, 0.5 // mm, MPa, MPa, MPa, MPa·√m
	s := cut(h, 400)
	stress := make([]float64, len(s.Z))
	for i, z := range s.Z {
		stress[i] = even + bend*2*z/h
	}
	for _, top := range []bool{true, false} {
		sign := -1.0
		if top {
			sign = 1
		}
		f := s.Face(top)
		for q, a := range f.Depth {
			assert.InDelta(t, even+sign*bend*(1-a/h), f.Mean(q, stress), 1e-4, "a layer is even")
			assert.InDelta(t, f.Intensity(q, stress), even*f.Even[q]+bend*2/h*f.Bent[q], 1e-12, "linear")
			if math.Abs(a-0.4*h) < 1e-9 {
				assert.InEpsilon(t, (2.112*even+sign*1.260*bend)*math.Sqrt(math.Pi*a/metre), f.Intensity(q, stress), 0.02)
			}
		}
		assert.InDelta(t, Default().Deep*h, f.Depth[f.Deep], 1e-9)
	}
	// Without bending the mean is everywhere the same, and energy grows with depth: what
	// decides is strength where the section is large and energy where it is small.
	one := make([]float64, len(s.Z))
	for i := range one {
		one[i] = even
	}
	f := s.Face(true)
	st, en := criterion(f, one, strength, 1e-3)
	assert.InDelta(t, even/strength, f.Passes(st, en), 1e-9, "strength")
	st, en = criterion(f, one, 1e-3, tough)
	last := f.Depth[len(f.Depth)-1]
	assert.InEpsilon(t, even*2.827*math.Sqrt(math.Pi*last/metre)/tough, f.Passes(st, en), 0.02, "energy at half of the strip: 2.827")
}

// A skin at its strength over a core that balances it opens as deep as the mean stress
// lets it, and does not pass, however tough the wood is not. With a pull on the whole
// section the mean over a third decides.
func TestASkinAloneDoesNotPass(t *testing.T) {
	const h, skin, strength, tough = 40.0, 2.4, 5.0, 0.01
	s := cut(h, 400)
	core := -strength * 2 * skin / (h - 2*skin)
	pulled := func(pull float64) []float64 {
		out := make([]float64, len(s.Z))
		for i, z := range s.Z {
			out[i] = pull + core
			if h/2-math.Abs(z) < skin {
				out[i] = pull + strength
			}
		}
		return out
	}
	f := s.Face(true)
	deep := f.Depth[f.Deep]
	over := (strength*skin + core*(deep-skin)) / deep // MPa, over a third
	for _, pull := range []float64{0, 1, 2.5, 4} {
		st, en := criterion(f, pulled(pull), strength, tough)
		assert.InEpsilon(t, (pull+over)/strength, f.Passes(st, en), 1e-6)
		// The mean over d falls to strength at d = skin·(strength − core)/(strength − pull − core).
		assert.InDelta(t, skin*(strength-core)/(strength-pull-core), f.Opens(st, en), 0.4, "mm, between the depths that are tried")
	}
}
