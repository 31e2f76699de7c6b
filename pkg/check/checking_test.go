package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Nothing tells the top of a board from its bottom.
func TestCheckingDoesNotKnowUpFromDown(t *testing.T) {
	seen, compared := 0, 0
	thicknesses := []float64{8, 40}
	if boardtest.Long() {
		thicknesses = []float64{8, 20, 40, 100}
	}
	woods := []string{"sugar-maple", "honduran-mahogany", "western-redcedar", "teak"}
	if testing.Short() {
		woods = woods[:2]
	}
	for _, name := range woods {
		for _, thickness := range thicknesses {
			for _, grain := range []string{"", `,"grain":0`} {
				ring := 0
				if grain != "" {
					ring = 90 // straight rings: those of a flat-sawn plank are taken to curve, which tells its faces apart
				}
				at := func(face string) Exposure {
					b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":%q,"ring_angle":%d,"moisture":8%s}},"field":{"grid":{"block":[300,200],"rows":["A"]}},
						"exposures":[{"name":"near-heat","face":%q}]}`, thickness, name, ring, grain, face)
					return reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true}).Exposures[0]
				}
				top, bottom := at("top"), at("bottom")
				compared++
				require.Greater(t, top.Checking.Utilisation, 0.01)
				assert.InEpsilon(t, top.Checking.Utilisation, bottom.Checking.Utilisation, 1e-6, "%s %g mm%s", name, thickness, grain)
				assert.InDelta(t, top.Checking.Hour, bottom.Checking.Hour, 1e-9)
				if top.Checking.Level == "top face" {
					assert.Equal(t, "bottom face", bottom.Checking.Level)
					seen++
				}
				assert.InDelta(t, top.Cup, -bottom.Cup, 1e-6+1e-6*math.Abs(top.Cup))
			}
		}
	}
	assert.Greater(t, 8*seen, 5*compared, "the heated face is the one that is told")
}

// Alike on both faces, a board does not cup, whatever its fibre saturation.
func TestSymmetricSoaksDoNotCup(t *testing.T) {
	for _, name := range []string{"greenheart", "keruing", "honduran-mahogany", "western-redcedar", "sugar-maple"} {
		for _, thickness := range []float64{3, 6, 20} {
			b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":%q,"ring_angle":0,"moisture":8,"grain":0}},"field":{"grid":{"block":[150,100],"rows":["AA","AA"]}},
				"exposures":[{"name":"sink-soak"},{"name":"raise-grain","minutes":30,"times":10}]}`, thickness, name)
			for _, e := range reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true, Events: b.Exposures}).Exposures {
				assert.InDelta(t, 0, e.Cup, 1e-6, "%s %g mm %s", name, thickness, e.Name)
				assert.InDelta(t, 0, e.Bow, 1e-6, "%s %g mm %s", name, thickness, e.Name)
			}
		}
	}
}

// A check is that of the piece pulled hardest, wherever it stands in the file.
func TestCheckingLooksAtEveryPiece(t *testing.T) {
	at := func(row string) Exposure {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8,"grain":0},"Q":{"species":"sugar-maple","ring_angle":45,"moisture":8,"grain":0}},
			"field":{"grid":{"block":[300,100],"rows":[%q,%q]}},"exposures":[{"name":"damp-spell"}]}`, row[:1], row[1:])
		return reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true}).Exposures[0]
	}
	aq, qa := at("AQ"), at("QA")
	assert.InEpsilon(t, aq.Checking.Utilisation, qa.Checking.Utilisation, 1e-9)
	assert.Equal(t, "r1c1", aq.Checking.Piece)
	assert.Equal(t, "r2c1", qa.Checking.Piece)
	assert.InEpsilon(t, at("AA").Checking.Utilisation, aq.Checking.Utilisation, 1e-9)
}
