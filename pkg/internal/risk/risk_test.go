package risk

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// The words begin where their chances do, 5 %, 20 % and one half, as near as a whole per cent of the load can say.
func TestWordsAndChancesBelongTogether(t *testing.T) {
	assert.InDelta(t, 0.05, Chance(verdict.FromTight, Spread()), 0.002)
	assert.InDelta(t, 0.20, Chance(verdict.FromDoubtful, Spread()), 0.002)
	assert.InDelta(t, 0.50, Chance(verdict.FromFails, Spread()), 1e-12)
	assert.Zero(t, Chance(0, Spread()))
	last := 0.0
	for v := 0.05; v < 4; v += 0.05 {
		assert.Greater(t, Chance(v, Spread()), last)
		last = Chance(v, Spread())
	}
}

// Counted: inputs drawn from their own laws, v worked out as min(S, √(G/G_c)) along a
// stretch on which stress falls with its length, and not from exponents. Stress and
// stiffness scale S; G goes with their square over stiffness.
func TestChanceAgreesWithACount(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	parts := map[string]float64{}
	for i, e := range exponents {
		parts[e.key] = Parts(Measured)[i].Spread / e.exponent
	}
	parts["gluing"] = Measured.part().Spread
	draw := func(key string) float64 {
		s := math.Sqrt(math.Log(1 + parts[key]*parts[key]))
		return math.Exp(s * r.NormFloat64())
	}
	// v by search over a: S = s·a^−½ (a sharp corner), √(G/G_c) = g·a^½.
	v := func(s, g float64) float64 {
		best := 0.0
		for a := 0.02; a < 50; a *= 1.05 {
			best = math.Max(best, math.Min(s/math.Sqrt(a), g*math.Sqrt(a)))
		}
		return best
	}
	mean := v(1, 1)
	const n = 20000
	for _, load := range []float64{0.45, 0.7, 1} {
		fails := 0
		for range n {
			pull := load / mean * draw("shrinkage") * draw("relaxation") * draw("climate") * draw("gluing")
			e := draw("stiffness")
			if v(pull*e/draw("tension"), pull*math.Sqrt(e/draw("toughness"))) >= 1 {
				fails++
			}
		}
		p := float64(fails) / n
		assert.InDelta(t, Chance(load, Spread()), p, 3*math.Sqrt(p*(1-p)/n)+0.01, "v %g; the last hundredth is the search's own step", load)
	}
}

// Root of the sum of squares near 0.4, as argued in data/chance.csv.
func TestSpread(t *testing.T) {
	assert.InDelta(t, 0.40, Spread(), 0.02)
}

// The less is known of the moisture at gluing, the wider the scatter, by what that adds as
// a root of squares and by nothing else; measuring it takes that back.
func TestWhatIsKnownOfMoistureScatters(t *testing.T) {
	plank := Bend{Glued: true}
	for _, parts := range []func(Known) []Part{Parts, func(k Known) []Part { return FlatParts(k, plank) }} {
		last := 0.0
		for _, k := range []Known{Measured, ByAir, Guessed, Untold} {
			now := parts(k)
			assert.GreaterOrEqual(t, Together(now), last, k)
			last = Together(now)
			changed := 0
			for i, p := range now {
				if p != parts(Measured)[i] {
					changed++
				}
			}
			weighed, other := Weighed(now)
			assert.Equal(t, k != Measured, other, k)
			assert.Equal(t, k != Measured, changed == 1, k)
			assert.InDelta(t, Together(parts(Measured)), Together(weighed), 1e-12, k)
		}
		assert.Greater(t, last, 1.1*Together(parts(Measured)))
	}
	// Nine in ten of a normal law lie within 1.645 deviations: 6 to 11 % is 1.52 % about 8.5.
	lo, hi := Sold()
	assert.Equal(t, []float64{6, 11}, []float64{lo, hi})
	assert.InDelta(t, 2.5/1.6449, Untold.deviation(), 1e-12)
	assert.InDelta(t, 2.5/1.6449/4, Untold.part().Spread, 1e-12)
	assert.Panics(t, func() { Known("by heart").part() })
}

// What bends a board decides what its shape scatters by: water where unlike faces drink,
// the moisture at gluing where rings bend it or it has not settled since, each by its share.
func TestShapeScattersByWhatBendsIt(t *testing.T) {
	spread := func(b Bend, k Known, name string) float64 {
		for _, p := range FlatParts(k, b) {
			if p.Name == name {
				return p.Spread
			}
		}
		return 0
	}
	const water, glued = "how much water a face drinks", "the untold moisture of the pieces when glued"
	washed, rings, half := Bend{Faces: 1, Drinks: true}, Bend{Drinks: true, Glued: true}, Bend{Faces: 0.5, Drinks: true}
	assert.Positive(t, spread(washed, Untold, water))
	assert.Zero(t, spread(washed, Untold, glued))
	assert.Zero(t, spread(rings, Untold, water))
	assert.Equal(t, Untold.part().Spread, spread(rings, Untold, glued))
	assert.InDelta(t, spread(washed, Untold, water)/2, spread(half, Untold, water), 1e-12)
	assert.InDelta(t, spread(rings, Untold, glued)/2, spread(half, Untold, glued), 1e-12)
	assert.Zero(t, spread(Bend{Faces: 1}, Untold, water), "nothing is wet")
	assert.Equal(t, spread(rings, Untold, glued), spread(Bend{Faces: 1, Glued: true}, Untold, glued))
}
