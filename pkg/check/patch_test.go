package check

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

const patchFile = `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":60,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["ABA","BAB"]}},"exposures":[%s]}`

func patchBoard(t *testing.T, exposure string) *layout.Board {
	t.Helper()
	return boardtest.From(t, patchFile, exposure)
}

func patchFaults(exposure string) fault.List {
	_, err := layout.Read(fmt.Appendf(nil, patchFile, exposure))
	return fault.Of(err)
}

// A patch as large as the board is the whole face; a smaller one rises less, about its
// own place, and wets what it reaches alone.
func TestAPatchWetsAPartOfTheFace(t *testing.T) {
	of := func(exposure string) *Report {
		return reportOf(t, patchBoard(t, exposure), Conditions{NoCauses: true, NoChance: true})
	}
	whole := of(`{"name":"wet-cloth"}`)
	all := of(`{"name":"wet-cloth","patch":{"centre":[60,40],"size":[120,80]}}`)
	some := of(`{"name":"wet-cloth","patch":{"centre":[60,40],"radius":20}}`)
	w, a, s := whole.Exposures[0], all.Exposures[0], some.Exposures[0]
	assert.Equal(t, w.Cup, a.Cup)
	assert.Equal(t, w.Utilisation, a.Utilisation)
	assert.Equal(t, "a patch of 120 × 80 mm round 60, 40", a.Given)
	assert.Less(t, s.Flatness, w.Flatness)
	assert.Positive(t, s.Flatness)
	assert.Contains(t, s.Given, "radius 20 mm")
	found := false
	for _, v := range some.Limitations.Assumptions {
		found = found || v[:7] == "A patch"
	}
	assert.True(t, found, "what is approximate is told")
}

// Each mistake of a patch is one fault with its place.
func TestPatchesThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		exposure, pointer string
		rule              fault.Rule
	}{
		{`{"name":"wet-cloth","patch":{"centre":[110,40],"radius":20}}`, "/exposures/0/patch/centre/0", fault.OutOfRange},
		{`{"name":"wet-cloth","patch":{"centre":[60,40],"size":[20,90]}}`, "/exposures/0/patch/centre/1", fault.OutOfRange},
		{`{"name":"wet-cloth","patch":{"centre":[60,40],"size":[0,20]}}`, "/exposures/0/patch/size/0", fault.OutOfRange},
		{`{"name":"sink-soak","patch":{"centre":[60,40],"radius":10}}`, "/exposures/0/patch", fault.NotAllowed},
		{`{"name":"standard","patch":{"centre":[60,40],"radius":10}}`, "/exposures/0/patch", fault.NotAllowed},
	} {
		l := patchFaults(c.exposure)
		require.Len(t, l, 1, c.exposure)
		assert.Equal(t, c.pointer, l[0].Pointer)
		assert.Equal(t, c.rule, l[0].Rule)
	}
	for src, pointer := range map[string]string{
		`{"centre":[60,40]}`:                         "/exposures/0/patch",
		`{"centre":[60,40],"radius":5,"size":[1,1]}`: "/exposures/0/patch",
		`{"radius":5}`:                               "/exposures/0/patch/centre",
		`{"centre":[60,40],"radius":0}`:              "/exposures/0/patch/radius",
	} {
		_, l := layout.Parse([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{},"field":{},"exposures":[{"name":"wet-cloth","patch":` + src + `}]}`))
		require.NotEmpty(t, l, src)
		assert.Equal(t, pointer, l[len(l)-1].Pointer, src)
	}
	for src, found := range map[string]string{`{"centre":[60,40],"radius":-5}`: "-5 mm", `{"centre":[60,40],"size":[-3,20]}`: "-3 mm"} {
		l := patchFaults(`{"name":"wet-cloth","patch":` + src + `}`)
		require.Len(t, l, 1, src)
		assert.Equal(t, found, l[0].Found)
	}
	for _, src := range []string{`[60,40]`, `"all"`, `7`} {
		_, l := layout.Parse([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0}},"field":{"grid":{"block":[40,40],"rows":["A"]}},"exposures":[{"name":"wet-cloth","patch":` + src + `}]}`))
		require.Len(t, l, 1, src)
		assert.Equal(t, "/exposures/0/patch", l[0].Pointer)
	}
}

// A patch is told in the units of its file, and comes back from it as it was.
func TestAPatchInInches(t *testing.T) {
	f, l := layout.Parse([]byte(`{"tanrad":1,"units":"in","thickness":1,"stock":{"A":{"species":"sugar-maple","ring_angle":0}},"field":{"grid":{"block":[2,2],"rows":["A"]}},
		"exposures":[{"name":"wet-cloth","patch":{"centre":[1,1],"size":[0.5,"3/4"]}}]}`))
	require.Empty(t, l)
	b, l := f.Board()
	require.Empty(t, l)
	assert.Equal(t, &moisture.Patch{Centre: [2]float64{25.4, 25.4}, Size: [2]float64{12.7, 19.049999999999997}}, b.Exposures[0].Patch)
	assert.Equal(t, 0.75, f.Exposures[0].Patch.Size[1], "the file keeps its own units")
	again, l := layout.Parse(f.JSON())
	require.Empty(t, l)
	assert.Equal(t, f.Exposures[0].Patch, again.Exposures[0].Patch)
}

// A hot pan stands on a patch as water does: as large as the board it is the whole face,
// and on one plank it heats no glue and bends the board less.
func TestAHotPanStandsOnAPatch(t *testing.T) {
	of := func(patch string) *Report {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue":"pva-crosslinking","stock":{"A":{"species":"sugar-maple","ring_angle":90,"grain":0,"moisture":8}},
			"field":{"grid":{"block":[300,100],"rows":["A","A"]}},"exposures":[{"name":"hot-pan"%s}]}`, patch)
		return reportOf(t, b, Conditions{NoCauses: true, Events: b.Exposures})
	}
	whole, all, one := of(""), of(`,"patch":{"centre":[150,100],"size":[300,200]}`), of(`,"patch":{"centre":[150,50],"radius":45}`)
	w, a, o := whole.Exposures[0], all.Exposures[0], one.Exposures[0]
	assert.NotZero(t, w.Cup)
	assert.Equal(t, w.Cup, a.Cup)
	assert.Equal(t, w.Checking, a.Checking)
	assert.Equal(t, *modeOf(t, whole, GlueGives).Figure, *modeOf(t, all, GlueGives).Figure)
	assert.Equal(t, GlueGives, w.Mode, "90 °C softens polyvinyl acetate")
	assert.Less(t, o.Flatness, w.Flatness)
	assert.Positive(t, o.Flatness)
	assert.Less(t, *modeOf(t, one, GlueGives).Figure, 0.1, "no glue line lies under it")
	assert.NotEqual(t, GlueGives, o.Mode)
	assert.Contains(t, o.Given, "radius 45 mm")
}

// Water on a patch without a glue line soaks none, and one that covers an eighth of no
// piece moves nothing: it is the limit of ever smaller ones.
func TestAPatchOffTheGlueSoaksNone(t *testing.T) {
	of := func(patch string) *Report {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue":"pva","stock":{"A":{"species":"sugar-maple","ring_angle":90,"grain":0,"moisture":8}},
			"field":{"grid":{"block":[300,100],"rows":["A","A"]}},"exposures":[{"name":"wet-cloth","hours":6,"patch":%s}]}`, patch)
		return reportOf(t, b, Conditions{NoCauses: true, NoChance: true, Events: b.Exposures})
	}
	across, beside, tiny := of(`{"centre":[150,100],"radius":45}`), of(`{"centre":[150,50],"radius":45}`), of(`{"centre":[150,50],"radius":5}`)
	assert.InEpsilon(t, 2, *modeOf(t, across, GlueGives).Figure, 1e-6, "six hours against the three of D2")
	assert.Zero(t, *modeOf(t, beside, GlueGives).Figure)
	assert.NotZero(t, beside.Exposures[0].Cup)
	assert.InDelta(t, 0, tiny.Exposures[0].Cup, 1e-6)
	assert.Zero(t, tiny.Exposures[0].Checks)
}

// A patch does not know how the board lies: in a mirror, turned by a right angle, or drawn
// in inches, board and patch together give the same answer.
func TestAPatchTurnsWithItsBoard(t *testing.T) {
	of := func(a, b int, field, units, thickness, patch string) Exposure {
		board := boardtest.From(t, `{"tanrad":1,"units":"%s","thickness":%s,"stock":{"A":{"species":"sugar-maple","ring_angle":%d,"moisture":8},"B":{"species":"black-walnut","ring_angle":%d,"moisture":8}},
			"field":{"grid":%s},"exposures":[{"name":"wet-cloth","patch":%s}]}`, units, thickness, a, b, field, patch)
		return reportOf(t, board, Conditions{NoCauses: true, NoChance: true, NoCracks: true, Events: board.Exposures}).Exposures[0]
	}
	// 120 × 60 mm; the patch covers a quarter of one block and half of the next.
	plain := of(10, 60, `{"block":[40,30],"rows":["ABB","BAA"]}`, "mm", "20", `{"centre":[40,45],"size":[40,30]}`)
	require.NotZero(t, plain.Cup)
	require.NotZero(t, plain.Utilisation)
	for name, e := range map[string]Exposure{
		"left for right":   of(-10, -60, `{"block":[40,30],"rows":["BBA","AAB"]}`, "mm", "20", `{"centre":[80,45],"size":[40,30]}`),
		"a quarter turn":   of(100, 150, `{"block":[30,40],"rows":["BA","BA","AB"]}`, "mm", "20", `{"centre":[15,40],"size":[30,40]}`),
		"drawn in inches":  of(10, 60, `{"block":["40 mm","30 mm"],"rows":["ABB","BAA"]}`, "in", `"20 mm"`, `{"centre":["40 mm","45 mm"],"size":["40 mm","30 mm"]}`),
		"rings by an axis": of(190, -120, `{"block":[40,30],"rows":["ABB","BAA"]}`, "mm", "20", `{"centre":[40,45],"size":[40,30]}`),
	} {
		assert.InEpsilon(t, plain.Cup, e.Cup, 1e-6, name)
		assert.InEpsilon(t, plain.Bow, e.Bow, 1e-6, name)
		assert.InEpsilon(t, plain.Gap, e.Gap, 1e-6, name)
		assert.InEpsilon(t, plain.Utilisation, e.Utilisation, 1e-6, name)
		assert.InEpsilon(t, plain.Checking.Utilisation, e.Checking.Utilisation, 1e-6, name)
	}
}
