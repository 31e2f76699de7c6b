package advice

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/wood"
)

// woods proposes to swap each wood for those that look like it, or for those in
// the shop.
func (a *adviser) woods() []proposal {
	var out []proposal
	for _, from := range arrange.SpeciesOf(a.b) {
		own, err := wood.Find(from)
		if err != nil {
			continue // the board was read, so its woods are known
		}
		if arrange.IsGluedIn(a.b, a.glued, from) {
			a.skip("Another wood instead of "+strings.ToLower(own.CommonName), a.tooLate())
			continue
		}
		for _, to := range arrange.SimilarWoods(a.b, from, a.shop) {
			looks := "both are " + own.ColourGroup
			if to.ColourGroup != own.ColourGroup {
				looks = fmt.Sprintf("%s where that is %s", to.ColourGroup, own.ColourGroup)
			}
			effort, cost := 2, "another wood"
			switch {
			case len(a.shop) > 0:
				effort, cost = 1, "a wood from the shop"
			case !arrange.Common(to):
				effort, cost = most, "a wood that few yards sell"
			}
			out = append(out, proposal{name: "swap-wood", file: arrange.WithSpecies(a.f, from, to.ID), effort: effort, text: fmt.Sprintf("Use %s instead of %s: %s.", strings.ToLower(to.CommonName), strings.ToLower(own.CommonName), looks),
				cost: Cost{Swaps: []arrange.Swap{{From: from, To: to.ID}}, Text: cost}})
		}
	}
	return out
}
