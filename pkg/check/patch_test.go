package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

func patchBoard(t *testing.T, exposure string) *layout.Board {
	t.Helper()
	return boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":60,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["ABA","BAB"]}},"exposures":[%s]}`, exposure)
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
	} {
		_, err := Board(t.Context(), patchBoard(t, c.exposure), Conditions{})
		l := fault.Of(err)
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
