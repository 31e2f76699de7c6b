package risk

import (
	"fmt"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Known says how the moisture of the pieces at gluing is known, as package layout has it.
type Known string

// The ways, the surest first.
const (
	Measured Known = "measured"
	ByAir    Known = "air"     // in balance with an air of the glue-up that is told
	Guessed  Known = "guessed" // told as a guess
	Untold   Known = "untold"  // taken, nothing being told
)

// knowing is a way of knowing: what scatters.
var knowing = map[Known]string{
	Measured: "moisture of the pieces when glued",
	ByAir:    "moisture of the pieces when glued, in balance with the shop",
	Guessed:  "a guessed moisture of the pieces when glued",
	Untold:   "the untold moisture of the pieces when glued",
}

// OneInTwenty is the standard normal variable (dimensionless) that one in twenty exceeds,
// so that nine in ten lie between its values of either sign.
const OneInTwenty = 1.6449

// moistures are the rows of data/gluing_moisture.csv by key, [% MC].
var moistures = sync.OnceValue(func() map[string]data.Row {
	return table("gluing_moisture.csv")
})

// deviation is the standard deviation of the moisture at gluing [% MC]: that of the
// table, or that of a range in which nine pieces in ten lie, (hi − lo)/2/1.645.
func (k Known) deviation() float64 {
	r := moistures()[string(k)]
	if k == Untold {
		lo, hi := Sold()
		return (hi - lo) / 2 / OneInTwenty
	}
	return r.Number("value")
}

// Sold is the range [% MC] in which nine pieces in ten of wood lie that is sold dried for
// use indoors: that of a moisture nobody tells.
func Sold() (lo, hi float64) {
	r := moistures()[string(Untold)]
	return r.Number("lo"), r.Number("hi")
}

// part is the cause of scatter: v goes with the change since gluing in full, so that ln v
// scatters by the deviation over that change.
func (k Known) part() Part {
	name, ok := knowing[k]
	if !ok {
		panic(fmt.Sprintf("risk: no way of knowing a moisture is called %q", k))
	}
	r := moistures()[string(k)]
	return Part{name, k.deviation() / moistures()["change"].Number("value"), r.Get("source"), r.Get("status")}
}

// Weighed are causes of scatter as they would be if the moisture at gluing had been
// measured; other is false where it was.
func Weighed(parts []Part) (out []Part, other bool) {
	for _, p := range parts {
		for k, name := range knowing {
			if p.Name == name && k != Measured {
				sure := Measured.part()
				sure.Spread *= p.Spread / k.part().Spread // of a share that it has in the figure
				p, other = sure, true
				break
			}
		}
		out = append(out, p)
	}
	return out, other
}
