package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// held are two blocks of bare maple end grain, rings along their glue line, glued damp and
// brought into a heated home in January; a long-grain border along the given sides holds
// them.
func held(t *testing.T, thickness float64, sides string) *Report {
	t.Helper()
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"finish":"none","stock":{"A":{"species":"sugar-maple","ring_angle":90,"moisture":10}},
		"field":{"grid":{"block":[60,60],"rows":["AA"]}},"borders":[%s],"exposures":[{"name":"year-at-home","start_month":1}]}`, thickness, sides)
	return reportOf(t, b, Conditions{NoCauses: true})
}

// Faces that dry first pull at a glue line as they pull at the wood. By themselves they
// open no line: the wood beside it gives in fine checks. Where the board pulls as well,
// both act on one stretch, and it opens from the face before it opens through.
func TestFacesPullAtGlueLines(t *testing.T) {
	free := modeOf(t, held(t, 60, ""), LineOpens)
	require.NotNil(t, free.Face)
	assert.Equal(t, Holds, free.Verdict)
	assert.Zero(t, free.Face.Depth)
	assert.Contains(t, free.Face.Text, "Stays shut")

	r := held(t, 60, `{"stock":"A","grain":"along","width":30,"sides":["top","bottom"]}`)
	line := modeOf(t, r, LineOpens)
	require.NotNil(t, line.Face)
	t.Log(free.Face, line.Face, r.Utilisation)
	assert.Greater(t, line.Face.Utilisation, free.Face.Utilisation)
	assert.Equal(t, r.Utilisation, *line.Figure, "the crack through the thickness has the worse word")
	worst := 0.0
	for _, e := range r.Exposures {
		if !e.Mishap {
			worst = max(worst, e.Face.Utilisation)
		}
	}
	assert.Equal(t, worst, line.Face.Utilisation)
	assert.InEpsilon(t, 11.3, r.Exposures[0].Face.Depth, 0.05, "mm, as without any bound of the search")
	assert.Equal(t, line.Face.Utilisation >= 1, line.Face.Depth >= 20-1e-6, "a third of the thickness")
}

// A soak that hardly asks anything of the board as a whole opens its line from a face as
// it dries: there the face gives the word.
func TestAFaceGivesTheWordWhereItsOwnIsWorse(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"finish":"none","glue":"pva-crosslinking","stock":{"A":{"species":"sugar-maple","ring_angle":90,"moisture":7}},
		"field":{"grid":{"block":[60,60],"rows":["AA"]}},"borders":[{"stock":"A","grain":"along","width":10,"sides":["top","bottom"]}],"exposures":[{"name":"sink-soak"}]}`)
	e := reportOf(t, b, Conditions{NoCauses: true}).Exposures[0]
	assert.Equal(t, Holds, VerdictOf(e.Utilisation))
	assert.Equal(t, LineOpens, e.Mode)
	assert.Equal(t, e.Face.Utilisation, e.Index)
	assert.Equal(t, e.Face.Verdict, e.Verdict)
	assert.Greater(t, e.Verdict.Severity(), Holds.Severity())
	assert.Contains(t, e.Face.Text, "Opens at the ")
}

// A stretch does not know at which end its line begins: a board turned by half a turn opens
// from its faces by the same load.
func TestAFaceDoesNotKnowWhereItsLineBegins(t *testing.T) {
	of := func(rows string) float64 {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"glue":"pva-crosslinking","finish":"mineral-oil-wax","stock":{"C":{"species":"black-cherry","ring_angle":44,"moisture":9},"M":{"species":"sugar-maple","ring_angle":61,"moisture":8.9},
			"W":{"species":"black-walnut","ring_angle":27,"moisture":9.3},"N":{"species":"sugar-maple","ring_angle":-23,"moisture":9.2}},"field":{"grid":{"block":[45,40],"rows":[%s]}},"exposures":[{"name":"wash-one-face"}]}`, rows)
		e := reportOf(t, b, Conditions{NoCauses: true, NoChance: true, Events: b.Exposures}).Exposures[0]
		require.NotNil(t, e.Face)
		return e.Face.Utilisation
	}
	assert.InEpsilon(t, of(`"CM","WN"`), of(`"NW","MC"`), 1e-5)
}
