package check

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Wood glued damper never bears a dry home better: of planks across each other every
// figure of cracks, and the word, rise from 12 % up to the 30 % that a file may say,
// fibre saturation and above it too.
func TestDamperWoodReadsNoBetter(t *testing.T) {
	var last *Report
	for _, wood := range []string{"sugar-maple", "teak"} { // saturated at 30 and at 22 %
		for mc := 12; mc <= 30; mc += 2 {
			r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"home":"continental-heated-dry","glue":"pva-crosslinking","stock":{"A":{"species":"%[1]s","ring_angle":0,"grain":0,"moisture":%[2]d},"B":{"species":"%[1]s","ring_angle":0,"grain":90,"moisture":%[2]d}},
				"field":{"pieces":[{"stock":"A","outline":[[0,0],[120,0],[120,60],[0,60]]},{"stock":"B","outline":[[120,0],[180,0],[180,60],[120,60]]}]}}`, wood, mc), Conditions{NoHistories: true, NoCauses: true, NoChance: true})
			if mc > 12 {
				assert.GreaterOrEqual(t, r.Utilisation, last.Utilisation, "%s at %d %%", wood, mc)
				assert.GreaterOrEqual(t, r.Worst.Stress, last.Worst.Stress, "%s at %d %%", wood, mc)
				assert.GreaterOrEqual(t, r.Verdict.Severity(), last.Verdict.Severity())
			}
			last = r
		}
	}
}

// Checks are deepest for an hour or two, some hours after the wood came into a dry room:
// between two of the times that are told. Damper wood does not check less for that, but
// for the steps in which the depth is looked for, a hundredth of the thickness.
func TestChecksAreFoundBetweenTheTimesTold(t *testing.T) {
	last := 0.0
	for _, mc := range []float64{24, 27, 28} {
		r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"home":"continental-heated-dry","glue":"pva-crosslinking","stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":%s}},
			"exposures":[{"name":"year-at-home"}],"field":{"grid":{"block":[60,60],"rows":["MM"]}}}`, fmt.Sprint(mc)), Conditions{NoCauses: true, NoChance: true})
		require.NotNil(t, r.Exposures[0].Checks)
		now := r.Exposures[0].Checks.Index
		assert.GreaterOrEqual(t, now, last-0.031, "%g %%", mc)
		last = now
	}
}

// Sentences speak the units of the file: depths of checks and openings too.
func TestDepthsAreToldInTheUnitsOfTheFile(t *testing.T) {
	of := func(units string, thickness, block float64) string {
		r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":%q,"thickness":%g,"home":"continental-heated-dry","glue":"pva-crosslinking","stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":20}},
			"exposures":[{"name":"year-at-home"}],"field":{"grid":{"block":[%[3]g,%[3]g],"rows":["MM"]}}}`, units, thickness, block), Conditions{NoCauses: true, NoChance: true})
		require.NotNil(t, r.Exposures[0].Checks)
		text := r.Exposures[0].Checks.Text
		if f := r.Exposures[0].Face; f != nil {
			text += " " + f.Text
		}
		return text
	}
	assert.Regexp(t, `hecks to [\d.]+ mm`, of("mm", 25.4, 50.8))
	inches := of("in", 1, 2)
	assert.Regexp(t, `hecks to [\d /]+ in`, inches)
	assert.NotContains(t, inches, " mm")
}

// Nor does a board read better for one wood that was glued ever damper beside another that
// was not: it is cut where its own home stresses it, not only where a season would.
func TestOneDamperWoodReadsNoBetter(t *testing.T) {
	last := 0.0
	for _, mc := range []float64{19, 21, 22, 25} {
		r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"afrormosia","ring_angle":0,"moisture":%g},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}}}`, mc), Conditions{NoHistories: true, NoCauses: true, NoChance: true})
		assert.GreaterOrEqual(t, r.Utilisation, last, "%g %%", mc)
		last = r.Utilisation
	}
}
