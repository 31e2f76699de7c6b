package influence

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// DefaultHome is the climate of a board whose file names none.
const DefaultHome = "continental-heated"

// EndState is one uniform state before it is judged.
type EndState struct {
	Name, Text, When string
	Room             *moisture.Room
	left             float64   // share of the elastic stress that is left of what the air has brought by then; 1 for a sudden change
	Moisture         []float64 // % MC per kind at the end
}

// ClimateOf gives the climate a board will live in.
func ClimateOf(b *layout.Board, c Conditions) (moisture.Climate, error) {
	name := c.Home
	if name == "" && len(b.Home.Months) == 12 {
		return moisture.FromMonths(b.Home.Months, "/home/months")
	}
	if name == "" {
		name = b.Home.Name
	}
	if name == "" {
		name = DefaultHome
	}
	return moisture.FindClimate(name)
}

// EndStates lists the uniform states to judge: the driest and the dampest month
// of the climate, then the user's own.
func (m *Model) EndStates(c Conditions) ([]EndState, error) {
	home, err := ClimateOf(m.Board, c)
	if err != nil {
		return nil, err
	}
	year, name := home.Months, home.Name
	var mc [12]float64
	dry, damp := 0, 0
	for i, r := range year {
		if mc[i], err = moisture.EMC(r.Temperature, r.Humidity); err != nil {
			return nil, err
		}
		if mc[i] < mc[dry] {
			dry = i
		}
		if mc[i] > mc[damp] {
			damp = i
		}
	}
	var out []EndState
	air := func(key, text, when string, r moisture.Room, mc float64) {
		out = append(out, EndState{Name: key, Text: text, When: when, Room: &r, left: relax.Seasonal(relax.Typical), Moisture: m.same(mc)})
	}
	atDry, atDamp := leftOfTheYear(&mc, dry, damp)
	month := func(key, word string, i int, left float64) {
		r := year[i]
		n := time.Month(i + 1).String()
		air(key, fmt.Sprintf("in balance with %s, the %s month (%s): %.0f %% humidity at %.0f °C", n, word, name, r.Humidity, r.Temperature), "once the board has settled in "+n, r, mc[i])
		out[len(out)-1].left = left
	}
	month("driest-month", "driest", dry, atDry)
	month("dampest-month", "dampest", damp, atDamp)
	for _, a := range c.Air {
		v, err := moisture.EMC(a.Temperature, a.Humidity)
		if err != nil {
			return nil, err
		}
		air(a.Name, fmt.Sprintf("in balance with %.0f %% humidity at %.0f °C", a.Humidity, a.Temperature), "once the board has settled there", a.Room, v)
	}
	for _, v := range c.Moistures {
		out = append(out, EndState{Name: fmt.Sprintf("at-%g-percent", v), Text: fmt.Sprintf("every piece at %g %% moisture", v), When: fmt.Sprintf("with all wood at %g %%", v), left: 1, Moisture: m.same(v)})
	}
	for _, d := range c.Shifts {
		e := EndState{Name: fmt.Sprintf("shift-%+g", d), Text: fmt.Sprintf("every piece %+g %% from its moisture at gluing", d), When: fmt.Sprintf("after a change of %+g %% in all wood", d), left: 1, Moisture: make([]float64, len(m.Kinds))}
		for k := range m.Kinds {
			e.Moisture[k] = m.Kinds[k].Start + d
		}
		out = append(out, e)
	}
	seen := map[string]int{}
	for i := range out {
		n := out[i].Name
		if seen[n]++; seen[n] > 1 { // a name is told once, so that it finds its state again
			out[i].Name = fmt.Sprintf("%s-%d", n, seen[n])
		}
		for k, v := range out[i].Moisture {
			if v < 0 || math.IsNaN(v) {
				return nil, fmt.Errorf("check: state %s would bring %s to %g %% MC: allowed 0 and up", out[i].Name, m.Kinds[k].Name, v)
			}
		}
	}
	return out, nil
}

// same gives every kind the same moisture.
func (m *Model) same(mc float64) []float64 {
	out := make([]float64, len(m.Kinds))
	for k := range out {
		out[k] = mc
	}
	return out
}

// leftOfTheYear is the share of the elastic stress that is left in the driest and in
// the dampest month of a home, once its years are alike: what relaxation itself
// leaves of the year's course of equilibrium moistures [% MC], which run in straight
// lines between the middles of the months, about their mean. The rest of the change,
// from gluing to that mean, is counted with the same share, which is more than is
// left of it after years. A home without seasons has that of one season.
func leftOfTheYear(mc *[12]float64, dry, damp int) (atDry, atDamp float64) {
	mean := 0.0
	for _, v := range mc {
		mean += v / 12
	}
	round := make([]float64, 12)
	for i, v := range mc {
		round[i] = v - mean
	}
	left := relax.Steady(round, moisture.HoursPerYear/12, relax.Typical)
	atDry, atDamp = relax.Seasonal(relax.Typical), relax.Seasonal(relax.Typical)
	if round[damp]-round[dry] > leastSwing {
		atDry, atDamp = slices.Min(left)/round[dry], slices.Max(left)/round[damp]
	}
	return atDry, atDamp
}

// leastSwing is the swing of equilibrium moisture [% MC] below which a home has no
// seasons: far below what any wood is sawn to.
const leastSwing = 0.01

// LoadOf is the load of a uniform state: as the wood swells, and as stress
// remembers it.
func (m *Model) LoadOf(e *EndState) (swelling, stress *Load) {
	swelling = &Load{Mean: make([]float64, len(e.Moisture)), Strength: m.Strengths(e.Moisture)}
	stress = &Load{Mean: make([]float64, len(e.Moisture)), Strength: swelling.Strength}
	f := e.left * m.stiffening(e.Moisture)
	for k := range e.Moisture {
		swelling.Mean[k] = m.Kinds[k].change(e.Moisture[k])
		stress.Mean[k] = f * swelling.Mean[k]
	}
	return swelling, stress
}

// stiffening is the factor on the stress of the whole board for wood that stiffens
// as it dries and softens as it swells, when every kind is at its own moisture
// [% MC]; see wood.Species.Stiffening. The stiffness of the board is factorised as
// glued; one factor, the mean over the area, serves all of it, since what counts is
// how stiff the wood is as a whole while the pieces follow the same air.
func (m *Model) stiffening(mc []float64) float64 {
	sum := 0.0
	for k := range m.Kinds {
		sum += m.Kinds[k].share * m.Kinds[k].Species.Stiffening(m.Kinds[k].Start, mc[k])
	}
	return sum
}
