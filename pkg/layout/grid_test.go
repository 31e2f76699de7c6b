package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

func TestGridCountsRowsFromTheTop(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW", "WW", "MM"]}}`))
	assert.Equal(t, []float64{60, 60}, []float64{b.Width, b.Height})
	assert.Equal(t, []int{3, 2}, []int{b.Rows, b.Cols})
	top := piece(t, b, "r1c1")
	near(t, rect(0, 40, 30, 60), top.Outline)
	assert.Equal(t, "M", top.Stock)
	assert.Equal(t, "sugar-maple", top.Species)
	assert.Equal(t, []int{0, 0}, []int{top.Row, top.Col})
	assert.Equal(t, "/field/grid/rows/0", top.Pointer)
	assert.Equal(t, 10.0, top.RingAngle)
	assert.Equal(t, 7.5, top.Moisture)
	assert.True(t, top.Grain.Up)
	near(t, rect(30, 0, 60, 20), piece(t, b, "r3c2").Outline)
	assert.Len(t, b.Joints, 3+4)
	assert.Len(t, b.Partition.Vertices, 12)
	assert.Len(t, b.Partition.Edges, 17)

	j := joint(t, b, "r1c1|r1c2")
	assert.Equal(t, j, joint(t, b, "r1c2|r1c1"), "the same joint from either side")
	near(t, []layout.XY{{30, 40}, {30, 60}}, []layout.XY{j.From, j.To})
	assert.Equal(t, "r1c1", b.Pieces[j.A].ID, "A lies left of From→To")
}

func TestGridRowsAsListsOfKeys(t *testing.T) {
	b := read(t, file(`"stock": {"maple A": {"species": "sugar-maple", "ring_angle": 0}, "b": {"species": "sugar-maple", "ring_angle": 1}}`,
		`"field": {"grid": {"block": [30, 20], "rows": [["maple A", "b"], "bb"]}}`))
	assert.Equal(t, "maple A", piece(t, b, "r1c1").Stock)
	assert.Equal(t, "/field/grid/rows/0/1", piece(t, b, "r1c2").Pointer)
	assert.Equal(t, "/field/grid/rows/1", piece(t, b, "r2c2").Pointer)
}

func TestGridOfUnequalRowsAndColumns(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"columns": [10, 25, 15], "row_heights": [30, 12], "rows": ["MWM", "WMW"]}}`))
	near(t, rect(10, 12, 35, 42), piece(t, b, "r1c2").Outline)
	near(t, rect(35, 0, 50, 12), piece(t, b, "r2c3").Outline)
	assert.Zero(t, b.Rows, "not a uniform grid")
}

func TestInchesBecomeMillimetres(t *testing.T) {
	b := read(t, file(`"units": "in"`, `"thickness": 1.5`, `"field": {"grid": {"block": [1.5, 1], "rows": ["MW"]}}`))
	assert.InDelta(t, 38.1, b.Thickness, rounding)
	near(t, rect(38.1, 0, 76.2, 25.4), piece(t, b, "r1c2").Outline)
	list := refused(t, file(`"units": "in"`, `"thickness": 20`, `"field": {"grid": {"block": [1.5, 1], "rows": ["MW"]}}`))
	require.Len(t, list, 1)
	assert.Equal(t, "0.0393701 to 19.685 in", list[0].Allowed, "limits are told in the file's units")
}

func TestBrickRowsMeetInParts(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 20], "rows": ["MW", "WM", "MW"], "stagger": 0.25}}`))
	assert.InDelta(t, 90, b.Width, rounding, "ends stick out as laid")
	near(t, rect(10, 20, 50, 40), piece(t, b, "r2c1").Outline)
	near(t, rect(0, 0, 40, 20), piece(t, b, "r3c1").Outline)
	assert.InDelta(t, 30, joint(t, b, "r1c1|r2c1").Length, rounding)
	assert.InDelta(t, 10, joint(t, b, "r1c2|r2c1").Length, rounding)
	_, touches := b.Joint("r1c1|r2c2")
	assert.False(t, touches)
	assert.Zero(t, b.Rows)
}

func TestBrickWithTrimmedEndsTakesABorder(t *testing.T) {
	grid := `"grid": {"block": [40, 20], "rows": ["MW", "WM"], "stagger": 0.5, "ends": "trimmed"}`
	border := `"borders": [{"stock": "W", "grain": "up", "width": 10, "sides": ["left"]}]`
	b := read(t, file(`"field": {`+grid+`}`, border))
	near(t, rect(10, 20, 30, 40), piece(t, b, "r1c1").Outline)
	near(t, rect(30, 20, 70, 40), piece(t, b, "r1c2").Outline)
	near(t, rect(50, 0, 70, 20), piece(t, b, "r2c2").Outline)
	near(t, rect(0, 0, 10, 40), piece(t, b, "b1.left").Outline)

	list := refused(t, file(`"field": {"grid": {"block": [40, 20], "rows": ["MW", "WM"], "stagger": 0.5}}`, border))
	require.Len(t, list, 1)
	assert.Equal(t, fault.Construction, list[0].Rule)
	assert.Equal(t, "/borders/0", list[0].Pointer)
	assert.Contains(t, list[0].Fix, "trimmed")
}

func TestTilesAreNamedByWhereTheyLie(t *testing.T) {
	b := read(t, file(`"stock": {"M": {"species": "sugar-maple", "ring_angle": 1}, "W": {"species": "black-walnut", "ring_angle": 2},
		"C": {"species": "black-cherry", "ring_angle": 3}, "B": {"species": "black-walnut", "ring_angle": 4}}`,
		`"tiles": {"/": {"cut": "rising", "stock": ["M", "W"]}, "\\": {"cut": "falling", "stock": ["M", "W"]},
		           "x": {"cut": "both", "stock": ["M", "W", "C", "B"]}}`,
		`"field": {"grid": {"block": [20, 10], "rows": ["/\\x"]}}`))
	near(t, []layout.XY{{0, 0}, {20, 10}, {0, 10}}, piece(t, b, "r1c1.nw").Outline)
	near(t, []layout.XY{{0, 0}, {20, 0}, {20, 10}}, piece(t, b, "r1c1.se").Outline)
	near(t, []layout.XY{{20, 10}, {40, 0}, {40, 10}}, piece(t, b, "r1c2.ne").Outline)
	near(t, []layout.XY{{20, 0}, {40, 0}, {20, 10}}, piece(t, b, "r1c2.sw").Outline)
	near(t, []layout.XY{{50, 5}, {60, 10}, {40, 10}}, piece(t, b, "r1c3.n").Outline)
	near(t, []layout.XY{{50, 5}, {60, 0}, {60, 10}}, piece(t, b, "r1c3.e").Outline)
	near(t, []layout.XY{{50, 5}, {40, 0}, {60, 0}}, piece(t, b, "r1c3.s").Outline)
	near(t, []layout.XY{{50, 5}, {40, 10}, {40, 0}}, piece(t, b, "r1c3.w").Outline)
	for id, stock := range map[string]string{"r1c1.nw": "M", "r1c1.se": "W", "r1c2.ne": "M", "r1c2.sw": "W",
		"r1c3.n": "M", "r1c3.e": "W", "r1c3.s": "C", "r1c3.w": "B"} {
		assert.Equal(t, stock, piece(t, b, id).Stock, id)
	}
	assert.Len(t, b.Joints, 2+4+2, "two diagonals, four in the cross, and one between neighbouring cells each time")
	_, ok := b.Joint("r1c1.se|r1c2.sw")
	assert.True(t, ok)
	_, ok = b.Joint("r1c2.ne|r1c3.w")
	assert.True(t, ok)
}
