package layout_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// The test kit by short names.
var laid = boardtest.Lay

func parsed(t testing.TB, src string) *layout.File {
	t.Helper()
	return boardtest.Parse(t, []byte(src))
}

// tree is a JSON text with its lengths and numbers, for comparison.
func tree(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	require.NoError(t, json.Unmarshal(text, &v))
	return v
}

// A file that is read and written says the same, key by key and number by
// number, and from then on byte by byte; it lays out to the same board.
func TestFilesComeBackTheSame(t *testing.T) {
	all := map[string]string{}
	for _, name := range boardtest.Names(t) {
		all[name] = string(boardtest.Source(t, name))
	}
	shop, err := os.ReadFile(lanterns)
	require.NoError(t, err)
	all["harbour lanterns"] = string(shop)
	for seed := range uint64(100) {
		all["generated "+string(rune('0'+seed%10))] = string(boardgen.Any(seed))
	}
	for name, src := range all {
		f := parsed(t, src)
		out := f.JSON()
		if !strings.Contains(src, `"in"`) && !strings.Contains(src, "1/2") { // texts of lengths come back as numbers
			assert.Equal(t, tree(t, []byte(src)), tree(t, out), name)
		}
		again := parsed(t, string(out))
		assert.Equal(t, string(out), string(again.JSON()), name)
		b, want := f.Board()
		c, got := again.Board()
		assert.Equal(t, want, got, name)
		assert.Equal(t, b, c, name)
		assert.Equal(t, string(out), string(f.Clone().JSON()), name)
	}
}

// Edits of a clone leave the file alone, whatever they touch.
func TestCloneSharesNothing(t *testing.T) {
	for _, name := range boardtest.Names(t) {
		f := boardtest.File(t, name)
		before := string(f.JSON())
		c := f.Clone()
		c.SetMoisture(3)
		c.KeepBorders(0)
		c.Repeat(2, 2)
		for k, m := range c.Stock {
			m.Species = "teak"
			if m.Ring != nil {
				m.Ring.Angle++
			}
			if m.Pith != nil {
				m.Pith[0]++
			}
			c.Stock[k] = m
		}
		for i := range c.Field.Pieces {
			c.Field.Pieces[i].Outline[0][0]++
		}
		if s := c.Field.Slices; s != nil {
			s.Strips[0].Width++
		}
		if g := c.Field.Grid; g != nil && g.Block != nil {
			g.Block[0]++
		}
		assert.Equal(t, before, string(f.JSON()), name)
	}
}

// One piece is told to be otherwise: that piece and no other changes.
func TestOnePieceIsChanged(t *testing.T) {
	f := parsed(t, file(field2x1))
	was := laid(t, f)
	mc := 6.0
	f.Change("r1c2", layout.Override{Ring: layout.RingAt(-20), Species: "Hard Maple"})
	f.Change("r1c2", layout.Override{Moisture: &mc})
	b := laid(t, f)
	assert.Equal(t, was.Pieces[0], b.Pieces[0])
	p := piece(t, b, "r1c2")
	assert.Equal(t, "sugar-maple", p.Species)
	assert.Equal(t, -20.0, p.RingAngle)
	assert.Equal(t, 6.0, p.Moisture)
	assert.Equal(t, was.Joints, b.Joints)
	assert.Equal(t, "black-walnut", piece(t, was, "r1c2").Species, "the board that was laid out before stays")

	f.Pieces = map[string]layout.Override{"r1c2": {Stock: "M"}}
	p = piece(t, laid(t, f), "r1c2")
	assert.Equal(t, []any{"M", "sugar-maple", 10.0, 7.5}, []any{p.Stock, p.Species, p.RingAngle, p.Moisture})

	f.Pieces = map[string]layout.Override{"r9c9": {}, "r1c1": {Stock: "X", Ring: layout.RingAt(math.NaN())}}
	_, faults := f.Board()
	require.Len(t, faults, 3)
	assert.Equal(t, "/pieces/r1c1/stock", faults[0].Pointer)
	assert.Equal(t, "/pieces/r1c1/ring_angle", faults[1].Pointer)
	assert.Equal(t, "/pieces/r9c9", faults[2].Pointer)
}

// A repeated pattern takes its rings and its changed blocks along.
func TestRepeatedPatternKeepsWhatIsSaid(t *testing.T) {
	f := parsed(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW"], "rings": [[5, null]]}}`, `"pieces": {"r1c2": {"moisture": 9}}`))
	f.Repeat(2, 4)
	b := laid(t, f)
	require.Len(t, b.Pieces, 8)
	for _, p := range b.Pieces {
		want := []any{"M", 5.0, 7.5}
		if p.Col%2 == 1 {
			want = []any{"W", 70.0, 9.0}
		}
		assert.Equal(t, want, []any{p.Stock, p.RingAngle, p.Moisture}, p.ID)
	}
}

func TestLengthsAreWrittenAsMakersDo(t *testing.T) {
	b := read(t, file(`"units": "in"`, `"thickness": "1 1/2"`, `"field": {"grid": {"block": ["1 3/8 in", "38 mm"], "rows": ["MW"]}}`))
	assert.InDelta(t, 38.1, b.Thickness, rounding)
	assert.InDelta(t, 2*1.375*25.4, b.Width, rounding)
	assert.InDelta(t, 38, b.Height, rounding)

	list := refused(t, file(`"thickness": "one and a half"`, field2x1))
	require.Len(t, list, 1)
	assert.Equal(t, []any{fault.WrongType, "/thickness"}, []any{list[0].Rule, list[0].Pointer})
	list = refused(t, file(`"thickness": 1 1/2`, field2x1))
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Fix, `"1 1/2" in quotes, or 1.5`)
}

func TestSlipsOfUnitsAreAskedAbout(t *testing.T) {
	list := refused(t, file(`"units": "in"`, `"thickness": 38`, `"field": {"grid": {"block": [1.5, 1], "rows": ["MW"]}}`))
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Fix, "did you mean mm?")
	list = refused(t, file(`"thickness": 0.75`, field2x1))
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Fix, "did you mean inches?")

	b := read(t, file(`"thickness": 1.5`, `"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 0.08}}`,
		`"field": {"grid": {"block": [1.5, 1.5], "rows": ["MM", "MM"]}}`, `"glue_up": {"humidity": 0.45, "temperature": 70}`))
	likely := map[string]string{}
	for _, n := range b.Notices {
		likely[n.Pointer] = n.Likely
	}
	assert.Equal(t, map[string]string{"/thickness": "38.1 mm", "/stock/M/moisture": "8 % MC", "/glue_up/humidity": "45 %", "/glue_up/temperature": "21.1 °C",
		"/field": "76.2 mm", "/field/grid/rows/0": "38.1 mm", "/field/grid/rows/1": "38.1 mm"}, likely)
}

// A bare trade word is taken as the trade of the file's units takes it, and told.
func TestAmbiguousWoodsCarryANotice(t *testing.T) {
	for units, want := range map[string]string{"mm": "european-walnut", "in": "black-walnut"} {
		thick, block := 38.0, 40.0
		if units == "in" {
			thick, block = 1.5, 1.5
		}
		b := read(t, file(fmt.Sprintf(`"units": %q`, units), fmt.Sprintf(`"thickness": %v`, thick), `"stock": {"M": {"species": "walnut", "ring_angle": 0}}`,
			fmt.Sprintf(`"field": {"grid": {"block": [%v, %v], "rows": ["MMMM", "MMMM"]}}`, block, block)))
		assert.Equal(t, want, b.Pieces[0].Species)
		var told []string
		for _, n := range b.Notices {
			if n.Pointer == "/stock/M/species" {
				told = append(told, n.Likely)
				assert.Contains(t, n.Text, "it is also used for")
			}
		}
		assert.Equal(t, []string{want}, told)
	}
}

// A wood that is told and not laid is asked about: a letter of the rows is missing, or
// the wood is left over.
func TestStockThatNobodyUsesIsAskedAbout(t *testing.T) {
	field := `"field": {"grid": {"block": [30, 20], "rows": ["MM"]}}`
	b := read(t, file(field))
	require.Len(t, b.Notices, 1)
	assert.Equal(t, "/stock/W", b.Notices[0].Pointer)
	assert.Contains(t, b.Notices[0].Text, "stock W (black-walnut). Is this right?")
	assert.Empty(t, read(t, file(field, `"pieces": {"r1c2": {"stock": "W"}}`)).Notices)
	assert.Empty(t, read(t, file(field, `"borders": [{"width": 15, "stock": "W", "grain": "along", "sides": ["left"]}]`)).Notices)
}

// The boards of testdata are what makers have: nothing is asked about them.
func TestGoodBoardsAreNotAskedAbout(t *testing.T) {
	for _, f := range boardtest.Names(t) {
		b := boardtest.Named(t, f)
		for _, n := range b.Notices {
			assert.True(t, strings.HasSuffix(n.Pointer, "/species"), "%s asks %s", f, n.Text)
		}
	}
}

// A wrong letter hides neither a row that is too short nor a fault elsewhere.
func TestRowsTellAllTheirFaultsTogether(t *testing.T) {
	list := refused(t, file(`"thickness": 9000`, `"glue": "spit"`, `"field": {"grid": {"block": [30, 20], "rows": ["MW", "Mx", "M", "W M"]}}`))
	var told []string
	for _, f := range list {
		told = append(told, string(f.Rule)+" "+f.Pointer)
	}
	assert.Equal(t, []string{"unknown-name /field/grid/rows/1", "ragged /field/grid/rows/2", "unknown-name /field/grid/rows/3",
		"out-of-range /thickness", "unknown-name /glue"}, sortedBy(told, "/field", "/thickness", "/glue"))
	for _, f := range list {
		switch f.Pointer {
		case "/field/grid/rows/1":
			assert.Contains(t, f.Detail, `row 2, block 2`)
			assert.Contains(t, f.Detail, `"x"`)
		case "/field/grid/rows/3":
			assert.Contains(t, f.Detail, "row 4, block 2")
			assert.Contains(t, f.Fix, "leave the spaces out")
		}
	}
}

// sortedBy puts told faults in the order of the keys, those of a key as they are.
func sortedBy(told []string, keys ...string) (out []string) {
	for _, k := range keys {
		for _, s := range told {
			if strings.Contains(s, " "+k) {
				out = append(out, s)
			}
		}
	}
	return out
}

// An axis is the same after half a turn, so any angle names one.
func TestAnyRingAngleIsAnAxis(t *testing.T) {
	at := func(angle string) float64 {
		b := read(t, file(`"stock": {"M": {"species": "sugar-maple", "ring_angle": `+angle+`, "moisture": 8}}`, `"field": {"grid": {"block": [30, 20], "rows": ["M"]}}`))
		return b.Pieces[0].RingAngle
	}
	for angle, axis := range map[string]float64{"270": 90, "200": 20, "-181": -1, "100000": 100, "180": 0, "-90": 90, "17.5": 17.5} {
		assert.InDelta(t, 0, math.Remainder(at(angle)-axis, 180), rounding, angle)
		assert.LessOrEqual(t, math.Abs(at(angle)), 180.0)
	}
	for _, angle := range []string{"1e300", "-360001"} { // its digits end long before the last turn
		list := refused(t, file(`"stock": {"M": {"species": "sugar-maple", "ring_angle": `+angle+`, "grain": `+angle+`, "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": 360000}}`,
			`"field": {"grid": {"block": [30, 20], "rows": ["MW"], "rings": [[null, `+angle+`]]}}`, `"pieces": {"r1c1": {"ring_angle": `+angle+`}}`))
		var at []string
		for _, f := range list {
			at = append(at, f.Pointer)
			assert.Equal(t, fault.OutOfRange, f.Rule)
			assert.Equal(t, "-360000 to 360000 degrees", f.Allowed)
		}
		assert.ElementsMatch(t, []string{"/stock/M/ring_angle", "/stock/M/grain", "/field/grid/rings/0/1", "/pieces/r1c1/ring_angle"}, at)
	}
	assert.Equal(t, 90.0, layout.Axis(-90))
	assert.Equal(t, 90.0, layout.Axis(270))
	list := refused(t, file(`"stock": {"M": {"species": "sugar-maple", "moisture": 8}}`, `"field": {"grid": {"block": [30, 20], "rows": ["M"]}}`))
	require.Len(t, list, 1)
	assert.Equal(t, "/stock/M/ring_angle", list[0].Pointer)
	assert.Contains(t, list[0].Fix, "look at the end")
}

// Bricks with thin strips of mortar: columns and row heights that repeat.
func TestBricksWithMortar(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"columns": [60, 3, 60, 3, 60], "row_heights": [25, 3, 25, 3, 25], "stagger": 0.5,
		"rows": ["MWMWM", "WWWWW", "MWMWM", "WWWWW", "MWMWM"]}}`))
	assert.InDelta(t, 31.5, leftmost(piece(t, b, "r3c1"))-leftmost(piece(t, b, "r1c1")), rounding, "half of brick and mortar")
	assert.InDelta(t, 31.5, leftmost(piece(t, b, "r4c1")), rounding, "with the mortar under it")
	assert.InDelta(t, 0, leftmost(piece(t, b, "r5c1")), rounding)

	b = read(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW", "MW", "MW"], "stagger": [0, 10, 20]}}`))
	assert.InDelta(t, 20, leftmost(piece(t, b, "r3c1")), rounding, "rows shifted by thirds")
	trimmed := read(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW", "MW", "MW"], "stagger": [0, 10, 20], "ends": "trimmed"}}`))
	assert.InDelta(t, 40, trimmed.Width, rounding)
	list := refused(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW", "MW"], "stagger": [0]}}`))
	assert.Equal(t, fault.WrongLength, list[0].Rule)
}

// leftmost is the x of the leftmost corner, mm.
func leftmost(p layout.Piece) float64 {
	x := math.Inf(1)
	for _, q := range p.Outline {
		x = min(x, q[0])
	}
	return x
}

func TestRingsBesideRows(t *testing.T) {
	b := read(t, file(`"stock": {"M": {"species": "sugar-maple", "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": "unknown"}}`,
		`"field": {"grid": {"block": [30, 20], "rows": ["MMW"], "rings": [[12, "unknown", null]]}}`))
	assert.Equal(t, 12.0, piece(t, b, "r1c1").RingAngle)
	assert.False(t, piece(t, b, "r1c1").RingUnknown)
	assert.True(t, piece(t, b, "r1c2").RingUnknown)
	assert.True(t, piece(t, b, "r1c3").RingUnknown)
	assert.True(t, b.Stock["W"].RingUnknown)
	assert.Contains(t, b.Assumed, "rings of 2 pieces (r1c2, r1c3): unknown, taken at 0 degrees until they are drawn")
	for src, want := range map[string]string{
		`[[1, 2]]`: "wrong-length /field/grid/rings/0", `[[1, 2, 3], [1, 2, 3]]`: "wrong-length /field/grid/rings",
		`[[1, "so", 3]]`: "wrong-type /field/grid/rings/0/1", `[[1, null, 3]]`: "missing-key /stock/M/ring_angle",
	} {
		list := refused(t, file(`"stock": {"M": {"species": "sugar-maple", "moisture": 8}}`, `"field": {"grid": {"block": [30, 20], "rows": ["MMM"], "rings": `+src+`}}`))
		require.Len(t, list, 1, src)
		assert.Equal(t, want, string(list[0].Rule)+" "+list[0].Pointer)
	}
}

// Unknown rings are drawn: every one, the same for one seed, uniform over half a
// turn, those of one strip alike.
func TestDrawnRings(t *testing.T) {
	const stock = `"stock": {"M": {"species": "sugar-maple", "ring_angle": "unknown", "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": 30, "moisture": 8}}`
	for name, rest := range map[string][]string{
		"grid":   {`"field": {"grid": {"block": [30, 20], "rows": ["MWM", "MMM"]}}`, `"borders": [{"stock": "M", "grain": "up", "width": 12, "sides": ["left", "right"], "blocks": 2}]`},
		"rings":  {`"field": {"grid": {"block": [30, 20], "rows": ["MWM"], "rings": [[7, "unknown", null]]}}`, `"pieces": {"r1c1": {"ring_angle": "unknown"}}`},
		"tiles":  {`"tiles": {"x": {"cut": "both", "stock": ["M", "W", "M", "W"]}}`, `"field": {"grid": {"block": [30, 20], "rows": ["xM"]}}`},
		"slices": {`"field": {"slices": {"strips": [["M", 30], ["W", 20], ["M", 30]], "height": 20, "count": 3, "turn": "over"}}`},
		"pieces": {`"field": {"pieces": [{"stock": "M", "outline": [[0,0],[30,0],[30,20],[0,20]]}, {"stock": "W", "ring_angle": "unknown", "outline": [[30,0],[60,0],[60,20],[30,20]]}]}`},
	} {
		f := parsed(t, file(append([]string{stock}, rest...)...))
		b := laid(t, f)
		before := string(f.JSON())
		drawn := f.Draw(3)
		assert.Equal(t, before, string(f.JSON()), "%s: the file stays", name)
		assert.Equal(t, string(drawn.JSON()), string(f.Draw(3).JSON()), name)
		assert.NotEqual(t, string(drawn.JSON()), string(f.Draw(4).JSON()), name)
		c := laid(t, drawn)
		for i, p := range c.Pieces {
			assert.False(t, p.RingUnknown, "%s %s", name, p.ID)
			if !b.Pieces[i].RingUnknown {
				assert.Equal(t, b.Pieces[i].RingAngle, p.RingAngle, "%s %s: known rings stay", name, p.ID)
			}
		}
		if name == "slices" {
			assert.InDelta(t, c.Pieces[0].RingAngle, -c.Pieces[3].RingAngle, rounding, "one strip, turned over")
			assert.NotEqual(t, c.Pieces[0].RingAngle, c.Pieces[2].RingAngle, "two strips of one stock")
		}
	}
	// Uniform: of 4,000 draws the sum of cos 2θ and that of sin 2θ have mean 0 and
	// a standard deviation of √(4000/2); five of those are never passed by chance.
	f := parsed(t, file(stock, `"field": {"grid": {"block": [30, 20], "rows": ["M"]}}`))
	var sin, cos float64
	for range 4000 {
		s, c := math.Sincos(2 * math.Pi / 180 * f.Draw(rand.Uint64()).Pieces["r1c1"].Ring.Angle)
		sin, cos = sin+s, cos+c
	}
	assert.Less(t, math.Hypot(sin, cos), 5*math.Sqrt(2000))
}

// A file made in Go is held to the same rules as one that was read.
func TestFilesMadeInGoAreChecked(t *testing.T) {
	_, faults := (&layout.File{}).Board()
	var told []string
	for _, f := range faults {
		told = append(told, f.Pointer)
	}
	assert.Subset(t, told, []string{"/units", "/thickness", "/stock", "/field"})
	ugly := &layout.File{Units: "mm", Thickness: layout.Length(math.NaN()), Stock: map[string]layout.Material{"M": {Species: "sugar-maple", Ring: layout.RingAt(math.Inf(1))}},
		Field: layout.Field{Grid: &layout.Grid{Block: &[2]layout.Length{-1, layout.Length(math.Inf(1))}, Rows: layout.Rows("M")}, Slices: &layout.Slices{}}}
	_, faults = ugly.Board()
	assert.GreaterOrEqual(t, len(faults), 5, faults.Error())
	assert.Nil(t, ugly.JSON(), "no JSON has such numbers")
}

// How moisture is known and how often a finish is renewed go through the file and back,
// and reach the board; a guess of a stock that no piece keeps is none.
func TestWhatIsToldOfMoistureAndFinish(t *testing.T) {
	const board = `{"tanrad":1,"units":"mm","thickness":38,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8,"moisture_is":"guessed"}},
		"finish":"mineral-oil","finish_renewed":%s,"pieces":{%s},"field":{"grid":{"block":[40,40],"rows":["AA"]}}}`
	for renewed, want := range map[string]moisture.Renewal{`"never"`: {Never: true}, "2.5": {Months: 2.5}} {
		f, faults := layout.Parse(fmt.Appendf(nil, board, renewed, `"r1c1":{"moisture":8.5}`))
		require.Empty(t, faults)
		again, faults := layout.Parse(f.JSON())
		require.Empty(t, faults)
		assert.Equal(t, f, again)
		b, faults := f.Clone().Board()
		require.Empty(t, faults)
		assert.Equal(t, want, b.Renewed)
		assert.Equal(t, layout.Guessed, b.Known())
	}
	b := read(t, fmt.Sprintf(board, "1", `"r1c1":{"moisture":9},"r1c2":{"moisture":9}`))
	assert.Equal(t, layout.Measured, b.Known(), "both pieces were")
	assert.Len(t, refused(t, fmt.Sprintf(board, `"often"`, "")), 1)
	strange := refused(t, fmt.Sprintf(board, `[3]`, ""))
	require.Len(t, strange, 1)
	assert.Equal(t, `months, or "never"`, strange[0].Allowed)
}

// A moisture that is not told is in balance with the air of the glue-up, told or taken, and
// the board is as sure as the least sure of its pieces.
func TestHowTheMoistureIsKnown(t *testing.T) {
	for _, c := range []struct{ a, b, shop, want string }{
		{`,"moisture":8`, `,"moisture":8`, "", layout.Measured},
		{`,"moisture":8`, `,"moisture":9,"moisture_is":"guessed"`, "", layout.Guessed},
		{`,"moisture":8`, "", `"glue_up":{"humidity":45,"temperature":20},`, layout.ByAir},
		{`,"moisture":8,"moisture_is":"guessed"`, "", `"glue_up":{"humidity":45,"temperature":20},`, layout.Guessed},
		{`,"moisture":8`, "", "", layout.Untold},
	} {
		b := read(t, fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":38,%s"stock":{"A":{"species":"sugar-maple","ring_angle":0%s},"B":{"species":"sugar-maple","ring_angle":0%s}},
			"field":{"grid":{"block":[40,40],"rows":["AB"]}}}`, c.shop, c.a, c.b))
		assert.Equal(t, c.want, b.Known(), "%v", c)
	}
}
