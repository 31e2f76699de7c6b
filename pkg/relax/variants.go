package relax

import (
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Variant is one of the relaxation functions that span the published values.
type Variant int

// The variants. The zero value is the one to use; the others show the spread.
const (
	Typical Variant = iota // half left of a step after a season: cautious
	Low                    // a fifth left of a step after a season: as measured on spruce
	High                   // six tenths left of a step after a season
	None                   // no relaxation: the elastic figure
)

// Factor is the share of an elastic stress that is left t hours after it was
// put on (0 or more), between 0 and 1.
func Factor(t float64, v Variant) float64 { return v.Series().At(t) }

// Seasonal is the share of an elastic stress that is left when it came with the
// season, evenly over a quarter of a year, while the moisture of the wood changed by
// so much [% MC]: 0.59 of the Typical variant by time alone, 0.50 with a change of
// 4 %. A step held for as long in still air would be left with Factor(Season(), v).
func Seasonal(change float64, v Variant) float64 {
	times, elastic, accumulated := make([]float64, rampSteps+1), make([][]float64, rampSteps+1), make([][]float64, rampSteps+1)
	for i := range times {
		u := float64(i) / rampSteps
		times[i], elastic[i], accumulated[i] = u*Season(), []float64{u}, []float64{u * math.Abs(change)}
	}
	return Relax(times, elastic, accumulated, v)[rampSteps][0]
}

// rampSteps of a season leave an error below a thousandth.
const rampSteps = 16

// Member is one member of the chain by which wood under stress gives way while its
// moisture changes, whichever way:
//
//	dx = dm/Range · (Share·σ − x), m the sum of all changes of moisture
//
// (Ferrara and Wittel 2025; the figures of Amando de Barros and Wittel 2026). x is the
// strain times the elastic modulus. It saturates: in a board at home it neither grows
// without end nor stays when the stress has gone and the moisture goes on changing.
type Member struct {
	Share float64 // of the elastic strain, at the end
	Range float64 // % MC
}

// Give is the chain of the variant. Wood that does not relax does not give either.
func (v Variant) Give() []Member {
	g, ok := gives()[v]
	if !ok {
		panic("relax: unknown variant")
	}
	return g
}

// Series is the relaxation factor of the variant as exponentials.
func (v Variant) Series() Series {
	s, ok := variants()[v]
	if !ok {
		panic("relax: unknown variant")
	}
	return s
}

// Season is the time "after a season" means, h: a quarter of a year.
func Season() float64 { return judgements()["season"] }

// lowSet is the measured set the Low variant follows: spruce loaded along T at
// 65 % humidity.
const lowSet = "spruce-TR-65"

// chains are the measured creep functions of data/creep_measured.csv by set.
var chains = sync.OnceValue(func() map[string]Chain {
	m := map[string]Chain{}
	for _, r := range data.Table("creep_measured.csv") {
		c := m[r.Get("set")]
		if r.Get("term") == "elastic" {
			c.J0 = r.Number("compliance_per_mpa")
		} else {
			c.J, c.Tau = append(c.J, r.Number("compliance_per_mpa")), append(c.Tau, r.Number("tau_h"))
		}
		m[r.Get("set")] = c
	}
	return m
})

// judgements are the chosen figures of data/creep_relaxation.csv.
var judgements = sync.OnceValue(func() map[string]float64 {
	m := map[string]float64{}
	for _, r := range data.Table("creep_relaxation.csv") {
		if r.Get("value") != "" {
			m[r.Get("key")] = r.Number("value")
		}
	}
	return m
})

var variants = sync.OnceValue(func() map[Variant]Series {
	j := judgements()
	return map[Variant]Series{
		None:    {Rest: 1},
		Low:     measured(chains()[lowSet].Relaxation(), j["low-season"], j["low-years"], j["season"]),
		Typical: judged(j["typical-season"], j["tau-short"], j["tau-long"], j["season"]),
		High:    judged(j["high-season"], j["tau-short"], j["tau-long"], j["season"]),
	}
})

var gives = sync.OnceValue(func() map[Variant][]Member {
	j := data.Figures("creep_moisture.csv")
	at := func(rate float64) (out []Member) {
		for _, n := range []string{"1", "2"} {
			out = append(out, Member{j["compliance-"+n] / j["elastic"], j["range-"+n] / rate})
		}
		return out
	}
	return map[Variant][]Member{None: nil, Low: at(j["low-rate"]), Typical: at(j["typical-rate"]), High: at(j["high-rate"])}
})

// measured adds to a measured series one slow term from its rest down to what is
// left after years, with the time constant that leaves the given share after a season.
func measured(s Series, season, years, hours float64) Series {
	slow := s.Rest - years
	// the measured terms have run out long before a season
	tau := -hours / math.Log((season-years)/slow)
	return Series{Rest: years, Terms: append(s.Terms, Term{Share: slow, Tau: tau})}
}

// judged is a series of two equal terms that leaves the given share after a season.
func judged(season, short, long, hours float64) Series {
	// season = 1 − 2w + w (e^(−hours/short) + e^(−hours/long))
	w := (1 - season) / (2 - math.Exp(-hours/short) - math.Exp(-hours/long))
	return Series{Rest: 1 - 2*w, Terms: []Term{{w, short}, {w, long}}}
}
