package check

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// plank is a panel of one wood, on which nothing pulls, in what its file tells.
func plank(t *testing.T, glue, mc, exposures string) *Report {
	t.Helper()
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue":"%s","stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":%s}},
		"field":{"grid":{"block":[200,60],"rows":["A","A","A"]}},"exposures":[%s]}`, glue, mc, exposures)
	return reportOf(t, b, Conditions{NoCauses: true, Events: b.Exposures})
}

func modeOf(t *testing.T, r *Report, key string) *Mode {
	t.Helper()
	for i := range r.Modes {
		if r.Modes[i].Mode == key {
			return &r.Modes[i]
		}
	}
	require.Fail(t, "no mode "+key)
	return nil
}

// Planks that several tests look at, each checked once.
var ordinaryPlank, wetPlank, dishwashed = once("ordinary-use"), once("flat-on-wet-counter"), once("dishwasher")

func once(exposure string) func() func(t *testing.T) *Report {
	return sync.OnceValue(func() func(t *testing.T) *Report {
		var once sync.Once
		var r *Report
		return func(t *testing.T) *Report {
			once.Do(func() { r = plank(t, "pva-crosslinking", "8", `{"name":"`+exposure+`"}`) })
			return r
		}
	})
}

// Every way stands in the answer once and in one order, with a word that follows its
// figure, a range that holds it, and reasons; the board's word is the worst that counts.
func TestEveryModeIsTold(t *testing.T) {
	for _, r := range []*Report{ordinaryPlank()(t), wetPlank()(t)} {
		var keys []string
		worst := 0
		for i := range r.Modes {
			o := &r.Modes[i]
			keys = append(keys, o.Mode)
			assert.NotEmpty(t, o.Why, o.Mode)
			assert.NotEmpty(t, o.Helps, o.Mode)
			if o.Figure == nil {
				assert.Empty(t, o.Verdict)
				continue
			}
			assert.Equal(t, o.Scale().Of(*o.Figure), o.Verdict, o.Mode)
			assert.LessOrEqual(t, *o.Low, *o.Figure)
			assert.GreaterOrEqual(t, *o.High, *o.Figure)
			if o.Counts {
				worst = max(worst, o.Verdict.Severity())
				assert.LessOrEqual(t, *o.Figure, r.Index)
			}
		}
		assert.Equal(t, "line end split check flat glue", strings.Join(keys, " "))
		assert.Equal(t, worst, r.Verdict.Severity())
	}
}

// A panel that lies in water cups past what printed tolerances let pass and comes
// back; that is its word whatever its glue lines bear. In ordinary use it lies flat.
func TestFlatnessGivesTheWord(t *testing.T) {
	r := wetPlank()(t)
	flat := modeOf(t, r, OutOfFlat)
	assert.Equal(t, Fails, r.Verdict)
	assert.Contains(t, r.Headline, "out of flat")
	assert.Equal(t, *flat.Figure, r.Index)
	assert.Greater(t, flat.Gap, 1.0, "mm")
	require.NotNil(t, flat.Back)
	assert.Equal(t, OutOfFlat, r.Exposures[0].Mode)
	require.NotNil(t, r.Exposures[0].After)
	assert.Less(t, *r.Exposures[0].After, flat.Hour, "passed before it is worst")
	assert.Equal(t, Holds, modeOf(t, ordinaryPlank()(t), OutOfFlat).Verdict)
	assert.Empty(t, modeOf(t, ordinaryPlank()(t), GlueGives).Beyond)
}

// Of a mishap of the standard set the board's word says nothing, and the same asked
// for by name gives it. No class of glue makes a dishwasher good.
func TestNeverTheDishwasher(t *testing.T) {
	for glue, r := range map[string]*Report{"pva-crosslinking": dishwashed()(t), "phenol-resorcinol": plank(t, "phenol-resorcinol", "8", `{"name":"dishwasher"}`)} {
		assert.Equal(t, Fails, r.Verdict, glue)
		assert.Contains(t, modeOf(t, r, GlueGives).Beyond, "Never")
		assert.Equal(t, GlueGives, r.Exposures[0].Mode)
		require.NotNil(t, r.Exposures[0].After)
		assert.Zero(t, *r.Exposures[0].After)
	}
}

// Water and heat are held against the class: 600 minutes in the sink are past the
// three hours of D2 and within the four days of D3; 90 °C is past what softens polyvinyl
// acetate and within what phenol-resorcinol bears.
func TestGlueIsHeldAgainstItsClass(t *testing.T) {
	soak, pan := `{"name":"sink-soak","minutes":600}`, `{"name":"hot-pan"}`
	figure := func(glue, event string) float64 { return *modeOf(t, plank(t, glue, "8", event), GlueGives).Figure }
	assert.InEpsilon(t, 10.0/3, figure("pva", soak), 1e-6)
	assert.InEpsilon(t, 10.0/96, figure("pva-crosslinking", soak), 1e-6)
	assert.InEpsilon(t, (90.0-30)/(70-30), figure("pva-crosslinking", pan), 1e-6)
	assert.InEpsilon(t, (90.0-30)/(120-30), figure("phenol-resorcinol", pan), 1e-6)
}

// "Holds" is not said of a bond made outside what its class is known for.
func TestHoldsIsRefusedBeyondTheModel(t *testing.T) {
	r := plank(t, "polyurethane", "7", `{"name":"hot-pan","temperature":40}`)
	glue := modeOf(t, r, GlueGives)
	assert.Equal(t, Tight, glue.Verdict)
	assert.Less(t, *glue.Figure, 0.51)
	assert.Contains(t, glue.Beyond, "8 to 18")
	assert.Equal(t, Tight, r.Verdict)
	assert.Contains(t, r.Headline, "8 to 18")
}

// A bare panel of one wood, glued at 10 % and brought into a heated home in January, opens
// from its ends and in no other way; its lines are sound elsewhere.
func TestPanelOfOneWoodOpensFromItsEnds(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":22,"finish":"none","stock":{"A":{"species":"northern-red-oak","ring_angle":0,"grain":0,"moisture":10}},
		"field":{"grid":{"block":[300,60],"rows":["A","A"]}},"exposures":[{"name":"year-at-home","start_month":1}]}`)
	r := reportOf(t, b, Conditions{})
	end := modeOf(t, r, EndOpens)
	assert.Equal(t, Fails, end.Verdict)
	assert.NotEmpty(t, end.Joint)
	assert.Greater(t, *end.High / *end.Low, math.Exp(2*risk.OneInTwenty*risk.Spread()), "what its end bears is less well known")
	assert.Less(t, *modeOf(t, r, LineOpens).Figure, 0.1)
	assert.Equal(t, Fails, r.Verdict)
	e := r.Exposures[0].End
	require.NotNil(t, e)
	assert.Equal(t, end.Joint, e.Joint)
	assert.Contains(t, e.Text, "Opens from the end, to")
	assert.Equal(t, *end.Figure, e.Utilisation)
}

// The figure of a row is the largest of its ways, whichever is told as the first: planks
// of two woods open in a dishwasher, and it is "never" all the same.
func TestARowTellsItsLargestFigure(t *testing.T) {
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":12,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"grain":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"grain":0,"moisture":8}},
		"field":{"grid":{"block":[400,90],"rows":["A","B"]}},"exposures":[{"name":"dishwasher"}]}`)
	e := reportOf(t, b, Conditions{NoCauses: true}).Exposures[0]
	assert.Equal(t, GlueGives, e.Mode)
	assert.Equal(t, Fails, e.Verdict)
	assert.Greater(t, e.Utilisation, 1.1)
	assert.InDelta(t, max(e.Utilisation, e.Flatness), e.Index, 1e-12)
}

// How the moisture at gluing is known moves no figure: the less surely, the wider the range
// and the chance behind the word, so that what is below its limit is no surer to hold. What
// a meter would bring is told, and what is taken where nothing is.
func TestHowMoistureIsKnownMovesNoFigure(t *testing.T) {
	board := func(stock, shop string) *Report {
		return reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":38,"stock":{"A":{"species":"sugar-maple","ring_angle":0%s},"B":{"species":"sugar-maple","ring_angle":90%s}},%s
			"field":{"grid":{"block":[40,40],"rows":["AB"]}}}`, stock, stock, shop), Conditions{NoHistories: true, NoCauses: true})
	}
	const shop = `"glue_up":{"humidity":45,"temperature":20},`
	balance, err := moisture.EMC(20, 45)
	require.NoError(t, err)
	told := fmt.Sprintf(`,"moisture":%.17g`, balance)
	measured := board(told, "")
	m := modeOf(t, measured, LineOpens)
	require.Less(t, *m.Figure, 1.0)
	assert.Nil(t, measured.Chance.Measured)
	last := measured
	for _, is := range []struct{ stock, shop, says string }{
		{"", shop, "settled in the told air of the glue-up"},
		{told + `,"moisture_is":"guessed"`, "", "a guessed moisture"},
		{"", "", "stands at 6 to 11 % MC"},
	} {
		r := board(is.stock, is.shop)
		o, before := modeOf(t, r, LineOpens), modeOf(t, last, LineOpens)
		assert.InDelta(t, *m.Figure, *o.Figure, 1e-12)
		assert.Less(t, *o.Low, *before.Low, is.says)
		assert.Greater(t, *o.High, *before.High, is.says)
		assert.Greater(t, *r.Chance.Board, *last.Chance.Board, is.says)
		assert.GreaterOrEqual(t, r.Verdict.Severity(), last.Verdict.Severity())
		require.NotNil(t, r.Chance.Measured)
		assert.InDelta(t, *measured.Chance.Board, *r.Chance.Measured, 1e-9)
		assert.Contains(t, r.Chance.Text, "Had the moisture of the wood been measured")
		assert.Contains(t, strings.Join(r.Limitations.Assumptions, " "), is.says)
		last = r
	}
}

// What a board does not survive is told by a way whose figure is no less than that of its
// cracks, and which is that way's own; what no board should meet says why.
func TestARowOfMishapsIsOfOneWay(t *testing.T) {
	r := reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"glue":"pva-crosslinking","stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
		"exposures":[{"name":"mishaps"}],"field":{"grid":{"block":[60,60],"rows":["AB"]}}}`), Conditions{NoCauses: true, NoChance: true})
	failed := 0
	for i := range r.Exposures {
		e := &r.Exposures[i]
		assert.Equal(t, e.Name == "dishwasher", e.Never != "", e.Name)
		if e.Verdict != Fails {
			continue
		}
		failed++
		assert.GreaterOrEqual(t, e.Index, e.Utilisation, e.Name)
		if e.Never == "" {
			own := map[string]float64{OutOfFlat: e.Flatness, LineOpens: e.Utilisation, Splits: e.Utilisation}
			if figure, here := own[e.Mode]; here {
				assert.Equal(t, figure, e.Index, e.Name)
			}
		}
	}
	assert.GreaterOrEqual(t, failed, 3)
}

// The worst joint is told as what gives the word only where it does: not where the board
// lies out of flat, a stretch opens from a face, or another line comes nearer to a crack.
func TestTheWorstIsToldWhereItGivesTheWord(t *testing.T) {
	figure := func(v float64) *float64 { return &v }
	report := func(o Mode, u float64) *Report { return &Report{Mode: o.Mode, Modes: []Mode{o}, Utilisation: u} }
	assert.True(t, report(Mode{Mode: LineOpens, Figure: figure(1.2)}, 1.2).ByWorst())
	assert.True(t, (&Report{}).ByWorst())
	assert.False(t, report(Mode{Mode: OutOfFlat, Figure: figure(1.2)}, 0.3).ByWorst())
	assert.False(t, report(Mode{Mode: Splits, Figure: figure(1.2)}, 1.3).ByWorst())
	assert.False(t, report(Mode{Mode: LineOpens, Figure: figure(1.2), Face: &FaceOpening{Utilisation: 1.2}}, 0.4).ByWorst())
}
