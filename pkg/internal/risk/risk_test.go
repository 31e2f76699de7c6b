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
		parts[e.key] = Parts()[i].Spread / e.exponent
	}
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

// A guessed moisture widens the scatter by what a guess adds to a measured one, as a root
// of squares, and changes no other cause.
func TestAGuessWidensTheScatter(t *testing.T) {
	for _, parts := range [][]Part{Parts(), FlatParts(true)} {
		guess := Guessed(parts)
		added, changed := 0.0, 0
		for i := range parts {
			if guess[i] != parts[i] {
				changed++
				added = guess[i].Spread*guess[i].Spread - parts[i].Spread*parts[i].Spread
			}
		}
		assert.Equal(t, 1, changed)
		assert.InDelta(t, math.Sqrt(Together(parts)*Together(parts)+added), Together(guess), 1e-12)
		assert.Greater(t, Together(guess), 1.1*Together(parts))
	}
}
