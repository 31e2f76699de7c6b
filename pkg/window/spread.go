package window

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/relax"
)

// SpreadWindow is how far the pieces may differ in moisture when they are glued,
// % MC between the dampest and the driest, before a glue line opens. What is cut from one
// stick has one moisture. Within days all settle to one moisture and nothing else moves;
// over a season the board also lives in its home.
type SpreadWindow struct {
	Below       float64 `json:"below"`
	Season      bool    `json:"season"`
	Spread      float64 `json:"spread"`      // each stick, or piece, anywhere within it: nineteen boards in twenty bear it
	Worst       string  `json:"worst"`       // joint that sets it
	Alternating float64 `json:"alternating"` // damp and dry taking turns, neighbour by neighbour; the board otherwise under no stress
}

// mostSpread is the largest board whose sticks are told apart; beyond it the window is
// left out.
const mostSpread = 250

// Draws of the moistures of one board, and which of them, counted from the luckiest, sets
// the window: as with rings that nobody has looked at.
const spreadDraws, unluckySpread = 20, 19 - 1

// spreadWindows draws the moistures of the sticks at random, uniform over a range, and
// judges the glue lines of every draw by cracks: alone, and with what the home does. The
// board is one glued in one go. nil where nothing is stressed. Errors: the context's.
//
// Alone v = r·v₁, with v₁ of 1 % MC, since nothing else loads the board, and the window
// ends at r = limit/(kept·v₁), kept what relaxation leaves. In the home it goes by the
// chord from v₀, of pieces that are alike, to the v of the range that is drawn:
// r = drawn·(limit−v₀)/(v−v₀). A largest length of vectors that are linear in r is convex
// in r, so that inside the range the chord lies above v.
func spreadWindows(ctx context.Context, b *layout.Board, c check.Conditions) ([]SpreadWindow, error) {
	tried, _ := adhesive.Spreads() // the range that is drawn, % MC: what careful shops keep within
	if len(b.Pieces) > mostSpread || len(b.Joints) == 0 {
		return nil, nil
	}
	s, err := newSpread(ctx, b, c)
	if err != nil {
		return nil, err
	}
	none := make([]float64, len(s.units))
	now, _, err := s.home(ctx, none)
	if err != nil {
		return nil, err
	}
	type drawn struct {
		v  float64
		at int
	}
	alone, home := make([]drawn, spreadDraws), make([]drawn, spreadDraws)
	rng := rand.New(rand.NewPCG(1, 0x5d2a))
	for i := range spreadDraws {
		off := make([]float64, len(s.units))
		for k := range off {
			off[k] = (rng.Float64() - 0.5) * tried
		}
		if alone[i].v, alone[i].at, err = s.m.WorstLine(ctx, s.load(off, 1)); err != nil {
			return nil, err
		}
		if home[i].v, home[i].at, err = s.home(ctx, off); err != nil {
			return nil, err
		}
	}
	for _, list := range [][]drawn{alone, home} {
		slices.SortStableFunc(list, func(a, b drawn) int { return cmp.Compare(a.v, b.v) })
	}
	days, season := alone[unluckySpread], home[unluckySpread]
	turns, _, err := s.m.WorstLine(ctx, s.load(s.alternating(), 1))
	if err != nil || days.v < influence.Quiet || turns < influence.Quiet {
		return nil, err
	}
	var out []SpreadWindow
	for _, slow := range []bool{false, true} {
		kept := 1.0
		if slow {
			kept = kept0
		}
		for _, below := range []float64{belowTight, belowDoubtful} {
			bears := func(v float64) float64 { return below / (kept * v) }
			w := SpreadWindow{below, slow, tried * bears(days.v), b.Joints[days.at].ID, hundredth(bears(turns))}
			if more := season.v - now; slow && more > 0 {
				if r := tried * math.Max(0, check.ScaleOf(b).At(below)-now) / more; r < w.Spread {
					w.Spread, w.Worst = r, b.Joints[season.at].ID
				}
			}
			w.Spread = hundredth(w.Spread)
			out = append(out, w)
		}
	}
	return out, nil
}

func hundredth(v float64) float64 { return math.Floor(100*v) / 100 }

// kept0 is what is left over a season of a stress that came within days.
var kept0 = relax.Seasonal(0, relax.Typical)

// spread is a board prepared for any moisture of each of its sticks.
type spread struct {
	m     *influence.Model
	units [][]int // pieces that share their moisture
	ends  []influence.EndState
}

// byNothing is a difference [% MC] that tells two kinds apart and moves nothing.
const byNothing = 1e-7

// newSpread prepares a board glued in one go at its mean moisture, its sticks told apart
// by moistures that differ by next to nothing. Of more sticks of one wood than a model
// keeps apart several go together.
func newSpread(ctx context.Context, b *layout.Board, c check.Conditions) (*spread, error) {
	c.NoHistories = true
	s := &spread{}
	type kind struct {
		species string
		up      bool
		nth     int
	}
	one := *b
	one.Pieces, one.Stages = slices.Clone(b.Pieces), nil
	at, count := map[kind]int{}, map[kind]int{}
	for _, pieces := range sticksOf(b) {
		p := &b.Pieces[pieces[0]]
		k := kind{p.Species, p.Grain.Up, 0}
		n := count[k] % influence.KeptApart()
		count[k]++
		k.nth = n + 1
		if _, known := at[k]; !known {
			at[k] = len(s.units)
			s.units = append(s.units, nil)
		}
		s.units[at[k]] = append(s.units[at[k]], pieces...)
		for _, i := range pieces {
			one.Pieces[i].Moisture = meanMoisture(b) + byNothing*float64(n)
		}
	}
	var err error
	if s.m, err = influence.Prepare(ctx, &one, c.Solving()); err != nil {
		return nil, err
	}
	s.ends, err = s.m.EndStates(c.Demand())
	return s, err
}

// sticksOf lists what shares its moisture at gluing: all that is cut from one wood of a
// stick, and every other piece by itself.
func sticksOf(b *layout.Board) (units [][]int) {
	type part struct{ stick, part int }
	at := map[part]int{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		key := part{p.Stick, p.StickPart}
		k, known := at[key]
		if !known || p.Stick < 0 {
			k = len(units)
			at[key] = k
			units = append(units, nil)
		}
		units[k] = append(units[k], i)
	}
	return units
}

// load is what it does that units which were off so far [% MC] have come to the mean, kept
// the share of the stress that is left.
func (s *spread) load(off []float64, kept float64) *influence.Load {
	l := &influence.Load{Mean: make([]float64, len(s.m.Kinds))}
	s.add(l, off, kept)
	return l
}

func (s *spread) add(l *influence.Load, off []float64, kept float64) {
	for k, pieces := range s.units {
		l.Mean[s.m.KindOf[pieces[0]]] -= kept * off[k]
	}
}

// home is the worst glue line in the end states of the home, with units that were off so
// far [% MC] at gluing.
func (s *spread) home(ctx context.Context, off []float64) (v float64, joint int, err error) {
	loads := make([]*influence.Load, len(s.ends))
	for i := range s.ends {
		_, loads[i] = s.m.LoadOf(&s.ends[i])
		s.add(loads[i], off, kept0)
	}
	return s.m.WorstLine(ctx, loads...)
}

// alternating gives the units half of 1 % MC more and less in turn, from neighbour to
// neighbour as far as that goes.
func (s *spread) alternating() []float64 {
	b := s.m.Board
	of := make([]int, len(b.Pieces))
	for k, pieces := range s.units {
		for _, i := range pieces {
			of[i] = k
		}
	}
	beside := make([][]int, len(s.units))
	for j := range b.Joints {
		if p, q := of[b.Joints[j].A], of[b.Joints[j].B]; p != q {
			beside[p], beside[q] = append(beside[p], q), append(beside[q], p)
		}
	}
	off := make([]float64, len(s.units))
	for first := range off {
		if off[first] != 0 {
			continue
		}
		off[first] = 0.5
		for queue := []int{first}; len(queue) > 0; queue = queue[1:] {
			for _, q := range beside[queue[0]] {
				if off[q] == 0 {
					off[q] = -off[queue[0]]
					queue = append(queue, q)
				}
			}
		}
	}
	return off
}
