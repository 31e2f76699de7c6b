package advice

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/quantity"
)

// Steps of what a maker is asked to saw, mm: half a millimetre, or 1/16 inch on a
// board in inches.
const (
	stepMillimetres = 0.5
	stepInches      = quantity.MillimetresPerInch / 16
)

func (a *adviser) inches() bool { return a.b.Units == "in" }

// measure rounds a length [mm] to what a maker can saw, one step at least.
func (a *adviser) measure(mm float64) float64 {
	step := stepMillimetres
	if a.inches() {
		step = stepInches
	}
	return step * math.Max(1, math.Round(mm/step))
}

// length tells a length [mm] in the units of the board.
func (a *adviser) length(mm float64) string {
	if a.inches() {
		return quantity.FormatInches(mm)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", mm), ".0") + " mm"
}
