package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

const field2x1 = `"field": {"grid": {"block": [30, 20], "rows": ["MW"]}}`

func TestButtBorderIsGluedInTheOrderListed(t *testing.T) {
	b := read(t, file(field2x1, `"borders": [{"stock": "W", "grain": "along", "width": 5, "sides": ["left", "top", "right", "bottom"]}]`))
	assert.Equal(t, []float64{70, 30}, []float64{b.Width, b.Height})
	near(t, rect(0, 5, 5, 25), piece(t, b, "b1.left").Outline)
	near(t, rect(0, 25, 65, 30), piece(t, b, "b1.top").Outline)
	near(t, rect(65, 5, 70, 30), piece(t, b, "b1.right").Outline)
	near(t, rect(0, 0, 70, 5), piece(t, b, "b1.bottom").Outline)
	near(t, rect(5, 5, 35, 25), piece(t, b, "r1c1").Outline)
	for side, angle := range map[string]float64{"bottom": 0, "right": 90, "top": 180, "left": -90} {
		p := piece(t, b, "b1."+side)
		assert.Equal(t, layout.Grain{Angle: angle}, p.Grain, "fibres run round counter-clockwise")
		assert.Equal(t, "border 1 "+side, p.Part)
		assert.Equal(t, 0, p.Border)
		assert.Equal(t, 70.0, p.RingAngle)
		assert.Equal(t, "/borders/0", p.Pointer)
		assert.Equal(t, -1, p.Row)
	}
	assert.Len(t, b.Borders[0].Pieces, 4)
	assert.InDelta(t, 20, joint(t, b, "r1c1|b1.left").Length, rounding)
	assert.InDelta(t, 5, joint(t, b, "b1.left|b1.top").Length, rounding)
	assert.Equal(t, 1, b.Rows, "the field keeps its shape inside a border")
}

func TestBorderInTwoStagesAndTwoRings(t *testing.T) {
	b := read(t, file(field2x1, `"borders": [
		{"stock": "W", "grain": "up", "width": 5, "sides": ["left", "right"]},
		{"stock": "M", "grain": "along", "width": 10, "sides": ["top", "bottom"]},
		{"stock": "M", "grain": "up", "width": 2, "sides": ["right"]}]`))
	assert.Equal(t, []float64{72, 40}, []float64{b.Width, b.Height})
	near(t, rect(0, 10, 5, 30), piece(t, b, "b1.left").Outline)
	near(t, rect(0, 30, 70, 40), piece(t, b, "b2.top").Outline)
	near(t, rect(70, 0, 72, 40), piece(t, b, "b3.right").Outline)
	assert.True(t, piece(t, b, "b1.left").Grain.Up)
	assert.False(t, piece(t, b, "b2.top").Grain.Up)
	assert.Equal(t, []int{2, 2, 1}, []int{len(b.Borders[0].Pieces), len(b.Borders[1].Pieces), len(b.Borders[2].Pieces)})
}

func TestAnEndGrainBorderMayBeCutIntoBlocks(t *testing.T) {
	b := read(t, file(field2x1, `"borders": [{"stock": "W", "grain": "up", "width": 30, "blocks": 2, "sides": ["left", "bottom"]}]`))
	near(t, rect(0, 40, 30, 50), piece(t, b, "b1.left.1").Outline)
	near(t, rect(0, 30, 30, 40), piece(t, b, "b1.left.2").Outline)
	near(t, rect(0, 0, 45, 30), piece(t, b, "b1.bottom.1").Outline)
	assert.Equal(t, "border 1 left", piece(t, b, "b1.left.2").Part)
	assert.Len(t, b.Borders[0].Pieces, 4)
	assert.InDelta(t, 10, joint(t, b, "r1c1|b1.left.1").Length, rounding)
	assert.InDelta(t, 30, joint(t, b, "b1.left.1|b1.left.2").Length, rounding)
}

func TestMitredBorderMeetsAt45Degrees(t *testing.T) {
	for _, sides := range []string{``, `, "sides": ["top", "left", "bottom", "right"]`} {
		b := read(t, file(field2x1, `"borders": [{"stock": "W", "grain": "along", "width": 6, "corner": "mitre"`+sides+`}]`))
		near(t, []layout.XY{{0, 0}, {72, 0}, {66, 6}, {6, 6}}, piece(t, b, "b1.bottom").Outline)
		near(t, []layout.XY{{72, 0}, {72, 32}, {66, 26}, {66, 6}}, piece(t, b, "b1.right").Outline)
		j := joint(t, b, "b1.bottom|b1.right")
		dx, dy := j.To[0]-j.From[0], j.To[1]-j.From[1]
		assert.InDelta(t, 0, dx*dx-dy*dy, rounding)
		assert.InDelta(t, 6*1.4142135623730951, j.Length, rounding)
		assert.True(t, b.Borders[0].Mitre)
	}
}

func TestBordersThatCannotBe(t *testing.T) {
	for name, c := range map[string]struct {
		border, pointer string
		rule            fault.Rule
	}{
		"mitre on two sides":                 {`{"stock": "W", "grain": "up", "width": 6, "corner": "mitre", "sides": ["left", "right"]}`, "/borders/0/sides", fault.NotAllowed},
		"a side twice":                       {`{"stock": "W", "grain": "up", "width": 6, "sides": ["left", "left"]}`, "/borders/0/sides/1", fault.NotAllowed},
		"blocks along the grain":             {`{"stock": "W", "grain": "along", "width": 6, "blocks": 3, "sides": ["left"]}`, "/borders/0/blocks", fault.NotAllowed},
		"no width":                           {`{"stock": "W", "grain": "up", "width": 0, "sides": ["left"]}`, "/borders/0/width", fault.OutOfRange},
		"no grain":                           {`{"stock": "W", "width": 4, "sides": ["left"]}`, "/borders/0/grain", fault.MissingKey},
		"no such stock":                      {`{"stock": "w", "grain": "up", "width": 4, "sides": ["left"]}`, "/borders/0/stock", fault.UnknownName},
		"no such side":                       {`{"stock": "W", "grain": "up", "width": 4, "sides": ["lfet"]}`, "/borders/0/sides/0", fault.NotOneOf},
		"thinner than a joint can be meshed": {`{"stock": "W", "grain": "up", "width": 0.3, "sides": ["left"]}`, "/borders/0", fault.Sliver},
	} {
		t.Run(name, func(t *testing.T) {
			list := refused(t, file(field2x1, `"borders": [`+c.border+`]`))
			assert.Equal(t, c.rule, list[0].Rule, list.Error())
			assert.Equal(t, c.pointer, list[0].Pointer)
		})
	}
}

func TestBorderRoundAnythingButARectangleIsRefused(t *testing.T) {
	border := `"borders": [{"stock": "W", "grain": "up", "width": 6, "sides": ["left"]}]`
	list := refused(t, file(`"field": {"pieces": [{"stock": "M", "outline": [[0,0],[40,0],[30,40],[0,40]]}]}`, border))
	require.Len(t, list, 1)
	assert.Equal(t, fault.Construction, list[0].Rule)
	assert.Contains(t, list[0].Detail, "rectangular")

	list = refused(t, file(`"field": {"pieces": [{"stock": "M", "outline": [[0,0],[40,0],[40,40],[3,40],[3,37],[0,37]]}]}`, border))
	assert.Equal(t, fault.Construction, list[0].Rule, "a notch of 3 mm")
	assert.Equal(t, "37 of 40 mm on the bounding box", list[0].Found)

	b := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[0,0],[40,0],[30,40],[0,40]]}, {"stock": "W", "outline": [[40,0],[50,0],[50,40],[30,40]]}]}`, border))
	near(t, rect(0, 0, 6, 40), piece(t, b, "b1.left").Outline)
	assert.InDelta(t, 56, b.Width, rounding, "two wedges make a rectangle")
}
