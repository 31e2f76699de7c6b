package advice

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/wood"
)

// woods proposes to swap each wood for those that look like it.
func (a *adviser) woods() []proposal {
	var out []proposal
	for _, from := range arrange.SpeciesOf(a.b) {
		for _, to := range arrange.Alike(a.b, from) {
			own, err := wood.Find(from)
			if err != nil {
				continue // the board was read, so its woods are known
			}
			out = append(out, proposal{name: "swap-wood", file: arrange.WithSpecies(a.f, from, to.ID),
				text: fmt.Sprintf("Use %s instead of %s: both are %s.", strings.ToLower(to.CommonName), strings.ToLower(own.CommonName), own.ColourGroup),
				cost: Cost{Swaps: []arrange.Swap{{From: from, To: to.ID}}, Text: "another wood of the same colour"}})
		}
	}
	return out
}
