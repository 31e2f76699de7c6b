package influence

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// EndState is one uniform state before it is judged.
type EndState struct {
	Name, Text, When string
	Room             *moisture.Room
	Moisture         []float64 // % MC per kind at the end
	left             float64   // share of the elastic stress that is left of what the air has brought by then; 1 for a sudden change
	residual         Residual
}

// Residual is the share of a stress that is left, at the moment looked at, of what a
// piece glued off its moisture brought and of what a shift of the air brings.
//
// What the user states exactly does not scatter: a state "at 6 %" has no spread
// of the air, a shift from the gluing moisture none at all. Differences in settled
// states have relaxed for a season. In an exposure that starts at gluing they
// have had the hours since; they are taken as whole by then, which is early by
// the days a piece needs to follow the air.
type Residual struct{ Glued, Air float64 }

// Names of the end states that every check has.
const (
	driestMonth  = "driest-month"
	dampestMonth = "dampest-month"
)

func atName(mc float64) string    { return fmt.Sprintf("at-%g-percent", mc) }
func shiftName(by float64) string { return fmt.Sprintf("shift-%+g", by) }

// EndStates lists the uniform states to judge: settled in the driest and in the
// dampest month of the climate and in the air that was asked for, then suddenly at
// a moisture or changed by one, each under a name of its own. Errors: those of Demand.Check.
func (p *Parts) EndStates(d *Demand) ([]EndState, error) {
	if err := d.Check(p.Board).Err(); err != nil {
		return nil, err
	}
	in, err := d.Setting(p.Board)
	if err != nil {
		return nil, err
	}
	var out []EndState
	seen := map[string]int{}
	exposures, _ := d.exposures(p.Board)
	for _, e := range exposures {
		seen[e.ID()] = 1
	}
	add := func(e EndState) {
		n := e.Name
		if seen[n]++; seen[n] > 1 { // a name is told once, so that it finds its state again
			e.Name = fmt.Sprintf("%s-%d", n, seen[n])
		}
		out = append(out, e)
	}
	left := leftOfTheYear(&in.Home)
	settled := func(name, text, when string, r moisture.Room) error {
		mc, err := r.EMC()
		f := p.leftAt(&left, mc)
		add(EndState{Name: name, Text: text, When: when, Room: &r, Moisture: p.same(mc), left: f, residual: Residual{f, f}})
		return err
	}
	driest, dampest, _, _ := in.Home.Extremes()
	for _, s := range []struct {
		name, word string
		month      int
	}{{driestMonth, "driest", driest}, {dampestMonth, "dampest", dampest}} {
		r, n := in.Home.Months[s.month], time.Month(s.month+1).String()
		if err := settled(s.name, fmt.Sprintf("in balance with %s, the %s month (%s): %.0f %% humidity at %.0f °C", n, s.word, in.Home.Name, r.Humidity, r.Temperature), "once the board has settled in "+n, r); err != nil {
			return nil, err
		}
	}
	for _, a := range d.Air {
		if err := settled(a.Name, fmt.Sprintf("in balance with %.0f %% humidity at %.0f °C", a.Humidity, a.Temperature), "once the board has settled there", a.Room); err != nil {
			return nil, err
		}
	}
	for _, v := range d.Moistures {
		add(EndState{Name: atName(v), Text: fmt.Sprintf("every piece suddenly at %g %% moisture", v), When: fmt.Sprintf("with all wood suddenly at %g %%", v),
			Moisture: p.same(v), left: 1, residual: Residual{Glued: 1}})
	}
	for _, by := range d.Shifts {
		e := EndState{Name: shiftName(by), Text: fmt.Sprintf("every piece suddenly %+g %% from its moisture at gluing", by), When: fmt.Sprintf("after a sudden change of %+g %% in all wood", by),
			Moisture: make([]float64, len(p.Kinds)), left: 1}
		for k := range p.Kinds {
			e.Moisture[k] = p.Kinds[k].Start + by
		}
		add(e)
	}
	return out, nil
}

// same gives every kind the same moisture.
func (p *Parts) same(mc float64) []float64 {
	out := make([]float64, len(p.Kinds))
	for k := range out {
		out[k] = mc
	}
	return out
}

// yearly is the share of the elastic stress that is left in a board that has
// settled in the air of its home: with wood drier than the mean of its year [% MC],
// and with wetter wood.
type yearly struct{ mean, dry, damp float64 }

func (y yearly) at(mc float64) float64 {
	if mc < y.mean {
		return y.dry
	}
	return y.damp
}

// leftAt is the share of the elastic stress that is left in a board that has settled at a
// moisture [% MC] of its home, a fraction. The change Δ from gluing is a part to the mean
// of the year, Δ_m, and the swing about it. In a year with one short season the mean lies
// close to the other end, and more is left there of the swing than the little that it
// swings by; of the part to the mean no more is left than of a home without seasons, s,
// and of all of it no more than there is:
//
//	f = (s·Δ_m + f_y·(Δ − Δ_m))/Δ, from s to 1, where the year alone leaves f_y > s.
func (p *Parts) leftAt(y *yearly, mc float64) float64 {
	f, s := y.at(mc), relax.Seasonal(0, relax.Typical)
	if f <= s {
		return f
	}
	all, mean := 0.0, 0.0
	for k := range p.Kinds {
		kd := &p.Kinds[k]
		earlier := kd.change(kd.Glued) // that of stages, which stress remembers as locked
		all += kd.share * (kd.change(mc) - earlier)
		mean += kd.share * (kd.change(y.mean) - earlier)
	}
	if math.Abs(all) > leastSwing {
		f = (s*mean + f*(all-mean)) / all
	}
	return min(1, max(s, f))
}

// leftOfTheYear is the share of the elastic stress that is left in the driest and in
// the dampest month of a home, once its years are alike: what relaxation itself
// leaves of the year of equilibrium moistures [% MC], which run in straight
// lines between the middles of the months, about their mean. Of the rest of the change,
// from gluing to that mean, see leftAt. A home without seasons has that of one season. Any other
// air in which the board has settled is taken as the month on its side of the mean:
// one air has one word, whoever asks for it.
func leftOfTheYear(home *moisture.Climate) yearly {
	round := make([]float64, len(home.Months))
	y := yearly{dry: relax.Seasonal(0, relax.Typical), damp: relax.Seasonal(0, relax.Typical)}
	for i, r := range home.Months {
		mc, err := r.EMC()
		if err != nil {
			return y
		}
		round[i] = mc
		y.mean += mc / float64(len(round))
	}
	for i := range round {
		round[i] -= y.mean
	}
	low, high := slices.Min(round), slices.Max(round)
	left := relax.Steady(round, moisture.HoursPerYear/12, 1, relax.Typical)
	if high-low > leastSwing {
		y.dry, y.damp = slices.Min(left)/low, slices.Max(left)/high
	}
	return y
}

// leastSwing is the swing of equilibrium moisture [% MC] below which a home has no
// seasons: far below what any wood is sawn to.
const leastSwing = 0.01

// LoadOf is the load of a uniform state: as the wood swells, and as stress
// remembers it.
func (p *Parts) LoadOf(e *EndState) (swelling, stress *Load) {
	swelling = &Load{Mean: make([]float64, len(e.Moisture)), Locked: p.past.locked(1), Strength: p.Strengths(e.Moisture), Residual: e.residual}
	relaxed := *swelling
	relaxed.Mean = make([]float64, len(e.Moisture))
	f := e.left * p.stiffening(e.Moisture)
	relaxed.Locked = p.past.locked(f)
	for k := range e.Moisture {
		swelling.Mean[k] = p.Kinds[k].change(e.Moisture[k])
		relaxed.Mean[k] = f * swelling.Mean[k]
		relaxed.Change += p.Kinds[k].share * math.Abs(swelling.Mean[k])
	}
	swelling.Change = relaxed.Change
	return swelling, &relaxed
}

// stiffening is the factor on the stress of the whole board for wood that stiffens
// as it dries and softens as it swells, when every kind is at its own moisture
// [% MC]; see wood.Species.Stiffening. The stiffness of the board is factorised as
// glued; one factor, the mean over the area, serves all of it, since what counts is
// how stiff the wood is as a whole while the pieces follow the same air.
func (p *Parts) stiffening(mc []float64) float64 {
	sum := 0.0
	for k := range p.Kinds {
		sum += p.Kinds[k].share * p.Kinds[k].Species.Stiffening(p.Kinds[k].Glued, mc[k])
	}
	return sum
}
