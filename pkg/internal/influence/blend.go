package influence

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// A careful maker weighs every block, and then no two pieces have one moisture at
// gluing: as many kinds as pieces, and tables of pieces times joints. Where one wood of
// one grain has more than mostAlike moistures its kinds stand blendStep apart instead,
// and a piece between two of them is a blend of both, in proportion.
//
// For settled wood that is no approximation: the change since gluing is linear in the
// moisture at gluing (below fibre saturation; about it the corner is cut by an eighth of
// blendStep at most), and the stiffness and swelling of a piece stay those of its own
// moisture. Of a course it is the linear part of what a start off by less than blendStep
// does, and that fades as the piece follows the air.
const blendStep = 0.5 // % MC; a meter errs by more (EN 13183-2 on resistance meters, from memory)

var mostAlike = 24 // a variable for tests

// blend is a piece as a share of two kinds.
type blend struct {
	kind [2]int
	more float64 // share of the second
}

// of is what a piece has of what the two kinds have.
func (b blend) of(first, second float64) float64 {
	if b.more == 0 { // also where it is not finite
		return first
	}
	return first + b.more*(second-first)
}

// nearest is the kind that the piece has most of.
func (b blend) nearest() int {
	if b.more > 0.5 {
		return b.kind[1]
	}
	return b.kind[0]
}

// Of is what a piece has of amounts that its kinds have: % MC, or % MC per mm.
func (p *Parts) Of(perKind []float64, piece int) float64 {
	b := p.blends[piece]
	return b.of(perKind[b.kind[0]], perKind[b.kind[1]])
}

// strengthOf is what a moment does to the strengths of a piece.
func (p *Parts) strengthOf(l *Load, piece int) KindScale {
	if l.Strength == nil {
		return Unscaled
	}
	b := p.blends[piece]
	x, y := &l.Strength[b.kind[0]], &l.Strength[b.kind[1]]
	return KindScale{b.of(x.Tension, y.Tension), b.of(x.Shear, y.Shear), b.of(x.Crush, y.Crush)}
}

// Start is the moisture [% MC] of a piece when the last glue-up set.
func (p *Parts) Start(piece int) float64 { return p.past.ready[piece] }

// woodOf is what kinds of one wood and grain share.
type woodOf struct {
	species string
	up      bool
}

// blended tells which woods have so many moistures that their pieces are blends. Those
// that rested between glue-ups have two moistures a piece, and are not.
func blended(b *layout.Board, past *past) map[woodOf]bool {
	out := map[woodOf]bool{}
	if len(past.spells) > 0 {
		return out
	}
	seen := map[woodOf]map[float64]bool{}
	for i := range b.Pieces {
		w := woodOf{b.Pieces[i].Species, b.Pieces[i].Grain.Up}
		if seen[w] == nil {
			seen[w] = map[float64]bool{}
		}
		seen[w][b.Pieces[i].Moisture] = true
	}
	for w, moistures := range seen {
		kinds := map[float64]bool{}
		for mc := range moistures {
			lo, hi, _ := between(mc)
			kinds[lo], kinds[hi] = true, true
		}
		if len(moistures) > mostAlike && len(kinds) < len(moistures) {
			out[w] = true
		}
	}
	return out
}

// between gives the moistures of the two kinds [% MC] a moisture lies between, and the share
// of the upper one. One that is a kind's own has but that.
func between(mc float64) (lo, hi, more float64) {
	n := math.Floor(mc / blendStep)
	lo = n * blendStep
	if mc == lo {
		return lo, lo, 0
	}
	return lo, lo + blendStep, (mc - lo) / blendStep
}
