// Package risk turns a load over its critical value into a chance.
//
// v of the coupled criterion is of degree one in the load, and a power of strength
// and toughness, so what scatters multiplies it: with independent factors of small
// spread ln v is normal about the v of mean inputs, and the chance that a crack
// starts and runs is
//
//	P = Φ(ln v / σ),  σ² = Σ (e_i·c_i)²                                     (1)
//
// with c_i the coefficient of variation of an input and e_i its exponent in v.
// Where both criteria decide, as they do at most places, v goes with the square
// root of strength, the fourth root of toughness and the three-quarter power of
// stiffness (Cornetti and others 2006, the criterion's own form). At v = 1, with
// mean strength and mean climate, it is a toss-up. Figures: data/chance.csv.
//
// What is not a crack has its own σ: see FlatParts.
//
// Missing: what the model leaves out has no chance here; places share wood and
// climate, so the chance of a board is that of its worst place, not of any.
package risk

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Part is one cause of scatter.
type Part struct {
	Name   string
	Spread float64 // standard deviation of ln v that it brings
	Source string
	Status string
}

// exponent is the power of v with which an input goes.
type exponent struct {
	key, name string
	exponent  float64
}

// exponents are those of v where stress and energy both decide; see (1).
var exponents = []exponent{
	{"tension", "strength of wood and bond", 0.5},
	{"toughness", "fracture energy", 0.25},
	{"stiffness", "stiffness", 0.75},
	{"shrinkage", "how much the woods shrink", 1},
	{"relaxation", "how far stress relaxes", 1},
	{"climate", "the climate it meets", 1},
}

// rows are those of data/chance.csv by key.
var rows = sync.OnceValue(func() map[string]data.Row { return table("chance.csv") })

// table reads a table of figures by key.
func table(name string) map[string]data.Row {
	return data.Keyed(name, "value", "unit", "lo", "hi", "source", "status", "note")
}

// Parts lists the causes of scatter of a crack with the standard deviation of ln v that
// each brings (dimensionless), the moisture at gluing being known as by.
func Parts(by Known) []Part {
	var out []Part
	for _, e := range exponents {
		out = append(out, part(e.key, e.name, e.exponent))
	}
	return append(out, by.part())
}

// part is the row of a key with its exponent.
func part(key, name string, exponent float64) Part {
	r, ok := rows()[key]
	if !ok {
		panic("risk: chance.csv has no " + key)
	}
	return Part{name, exponent * (r.Number("value") / 100), r.Get("source"), r.Get("status")}
}

// Spread is σ of (1) of a crack in wood whose moisture at gluing was measured,
// dimensionless: words begin at figures of such cracks.
var Spread = sync.OnceValue(func() float64 { return Together(Parts(Measured)) })

// Together is σ of (1) of causes of scatter, dimensionless.
func Together(parts []Part) float64 {
	sum := 0.0
	for _, p := range parts {
		sum += p.Spread * p.Spread
	}
	return math.Sqrt(sum)
}

// Chance is P of (1), the probability that what is v times its limit (dimensionless,
// v ≥ 0) passes it, sigma the standard deviation of ln v.
func Chance(v, sigma float64) float64 {
	if v <= 0 {
		return 0
	}
	return distuv.UnitNormal.CDF(math.Log(v) / sigma)
}

// Scale tells at which figures words begin that scatter for these reasons. Words begin at
// figures of cracks, and whatever has the chance of one has its word: with the quotients of
// (1) equal that of v is a crack of v^(σ/sigma), sigma the standard deviation of ln v. Where
// nothing scatters a rule gives the word, and its figure is taken as it is.
func Scale(parts []Part) verdict.Scale {
	if len(parts) == 0 {
		return verdict.Scale{}
	}
	return verdict.Scattering(Spread() / Together(parts))
}
