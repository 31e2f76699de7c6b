package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// shaped is the answer to one exposure of a board of sugar maple.
func shaped(t *testing.T, thickness float64, grain, field, exposure string) Exposure {
	t.Helper()
	ring := 0
	if grain != "" {
		ring = 90 // rings that are known to lie straight: those of a flat-sawn plank are taken to curve about a heart
	}
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":"sugar-maple","ring_angle":%d,"moisture":8%s}},%s,"exposures":[%s]}`,
		thickness, ring, grain, field, exposure)
	return reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true, Series: 400}).Exposures[0]
}

func gridField(w, h float64, rows ...string) string {
	return fmt.Sprintf(`"field":{"grid":{"block":[%g,%g],"rows":["%s"]}}`, w, h, strings.Join(rows, `","`))
}

// outlined is a field of pieces of stock A; corner n of m on a circle.
func outlined(outlines ...string) string {
	return `"field":{"pieces":[{"stock":"A","outline":` + strings.Join(outlines, `},{"stock":"A","outline":`) + `}]}`
}

// disc is a circle of diameter d cut into vertical strips, 24 corners on its rim at
// least.
func disc(d float64, strips int) string {
	const n = 96
	var out []string
	for k := range strips {
		lo, hi := d*float64(k)/float64(strips), d*float64(k+1)/float64(strips)
		half := func(x float64) float64 { return math.Sqrt(math.Max(0, x*(d-x))) }
		var below, above []string
		put := func(x float64) {
			y := half(x)
			below = append(below, fmt.Sprintf("[%.6f,%.6f]", x, d/2-y))
			if y > 1e-6 {
				above = append([]string{fmt.Sprintf("[%.6f,%.6f]", x, d/2+y)}, above...)
			}
		}
		put(lo)
		for i := 1; i < n; i++ {
			if x := d / 2 * (1 - math.Cos(math.Pi*float64(i)/n)); x > lo+0.5 && x < hi-0.5 {
				put(x)
			}
		}
		put(hi)
		out = append(out, "["+strings.Join(append(below, above...), ",")+"]")
	}
	return outlined(out...)
}

// Equal wood cut differently is the same board: one slab bends alike however many
// corners its map has and on whatever line or conic they lie.
func TestCupAndBowDoNotDependOnTheCuts(t *testing.T) {
	const long, wet = `,"grain":0`, `{"name":"flat-on-wet-counter"}`
	tile := func(cut string) string {
		return `"tiles":{"a":{"cut":"` + cut + `","stock":["A","A"]}},` + gridField(300, 200, "a")
	}
	for _, g := range []struct {
		name, grain string
		thickness   float64
		whole       string
		tolerance   float64 // of cup and bow: 0 is 1e-6
		cuts        map[string]string
	}{
		{"slab 300×200", long, 20, gridField(100, 200.0/3, "AAA", "AAA", "AAA"), 0, map[string]string{
			"one piece": gridField(300, 200, "A"), "planks": gridField(300, 100, "A", "A"), "three planks": gridField(300, 200.0/3, "A", "A", "A"),
			"one row": gridField(100, 200, "AAA"), "2×2": gridField(150, 100, "AA", "AA"), "5×4": gridField(60, 50, "AAAAA", "AAAAA", "AAAAA", "AAAAA"),
			"brick":  outlined(`[[0,0],[100,0],[100,100],[0,100]]`, `[[100,0],[300,0],[300,100],[100,100]]`, `[[0,100],[200,100],[200,200],[0,200]]`, `[[200,100],[300,100],[300,200],[200,200]]`),
			"rising": tile("rising"), "both": strings.Replace(tile("both"), `["A","A"]`, `["A","A","A","A"]`, 1),
			"two triangles": outlined("[[0,0],[300,0],[300,200]]", "[[0,0],[300,200],[0,200]]"),
			"mitred frame": outlined("[[0,0],[300,0],[270,30],[30,30]]", "[[300,0],[300,200],[270,170],[270,30]]", "[[300,200],[0,200],[30,170],[270,170]]",
				"[[0,200],[0,0],[30,30],[30,170]]", "[[30,30],[270,30],[270,170],[30,170]]"),
		}},
		{"end grain 300×200", "", 50, gridField(100, 200.0/3, "AAA", "AAA", "AAA"), 0, map[string]string{
			"slices of one strip": `"field":{"slices":{"strips":[["A",300]],"height":50,"count":4,"turn":"none"}}`,
			"one piece":           gridField(300, 200, "A"),
		}},
		{"end-grain panel in a mitred frame", "", 50, gridField(75, 50, "AAAA", "AAAA", "AAAA", "AAAA"), 0, map[string]string{
			"framed": gridField(240, 140, "A") + `,"borders":[{"stock":"A","grain":"up","width":30,"corner":"mitre","sides":["left","right","top","bottom"]}]`,
		}},
		{"hexagon", long, 20, outlined("[[75,0],[225,0],[300,130],[225,260],[75,260],[0,130]]"), 0, map[string]string{
			"halved":                outlined("[[75,0],[225,0],[300,130],[0,130]]", "[[0,130],[300,130],[225,260],[75,260]]"),
			"rectangle of its size": gridField(100, 130, "AAA", "AAA"),
		}},
		// The corners of a round board's strips are its own: sides of the polygon differ a little.
		{"round 300", long, 20, disc(300, 1), 0, map[string]string{
			"two": disc(300, 2), "three": disc(300, 3), "four": disc(300, 4), "six": disc(300, 6), "square of its size": gridField(100, 100, "AAA", "AAA", "AAA"),
		}},
		{"round 300, end grain", "", 40, disc(300, 1), 0, map[string]string{"six": disc(300, 6)}},
	} {
		if testing.Short() && len(g.cuts) > 2 {
			continue
		}
		want := shaped(t, g.thickness, g.grain, g.whole, wet)
		require.Greater(t, math.Abs(want.Cup), 0.5, g.name)
		require.NotZero(t, want.Bow, g.name)
		for name, field := range g.cuts {
			got := shaped(t, g.thickness, g.grain, field, wet)
			assert.InEpsilon(t, want.Cup, got.Cup, 1e-6, "%s, %s: cup", g.name, name)
			assert.InEpsilon(t, want.Bow, got.Bow, 1e-6, "%s, %s: bow", g.name, name)
			assert.InDelta(t, 0, got.Twist, 1e-6, "%s, %s: twist", g.name, name)
		}
		t.Logf("%s: cup %.3f, bow %.3f mm", g.name, want.Cup, want.Bow)
	}
}

// A board of two woods cut more finely is the same board too, within what the
// elements of the cut change: an end-grain field in a long-grain frame.
func TestAFrameDoesNotChangeWithTheCutsOfItsField(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	at := func(nx, ny, rails int) (Exposure, Exposure, State) {
		var pieces []string
		put := func(stock string, x0, y0, x1, y1 float64) {
			pieces = append(pieces, fmt.Sprintf(`{"stock":%q,"outline":[[%g,%g],[%g,%g],[%g,%g],[%g,%g]]}`, stock, x0, y0, x1, y0, x1, y1, x0, y1))
		}
		for i := range nx {
			for j := range ny {
				x, y := 240/float64(nx), 140/float64(ny)
				put("A", 30+x*float64(i), 30+y*float64(j), 30+x*float64(i+1), 30+y*float64(j+1))
			}
		}
		for i := range rails {
			a, b := float64(i)/float64(rails), float64(i+1)/float64(rails)
			put("V", 0, 30+140*a, 30, 30+140*b)
			put("V", 270, 30+140*a, 300, 30+140*b)
			put("H", 300*a, 0, 300*b, 30)
			put("H", 300*a, 170, 300*b, 200)
		}
		walnut := `{"species":"black-walnut","ring_angle":0,"moisture":8,"grain":%d}`
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"H":`+fmt.Sprintf(walnut, 0)+`,"V":`+fmt.Sprintf(walnut, 90)+`},
			"field":{"pieces":[%s]},"home":{"months":[%s]},"exposures":[{"name":"flat-on-wet-counter"},{"name":"year-at-home","years":10}]}`,
			strings.Join(pieces, ","), strings.TrimSuffix(strings.Repeat(`{"humidity":80,"temperature":20},`, 12), ","))
		r := reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true, Series: 400})
		return r.Exposures[0], r.Exposures[1], r.States[0]
	}
	last := func(v []float64) float64 { return v[len(v)-1] }
	whole, _, settled := at(1, 1, 1)
	cuts := [][3]int{{2, 2, 1}, {4, 3, 2}, {1, 1, 6}}
	if boardtest.Long() {
		cuts = append(cuts, [3]int{8, 6, 1}, [3]int{8, 6, 4})
	}
	for _, cut := range cuts {
		got, years, state := at(cut[0], cut[1], cut[2])
		assert.InEpsilon(t, whole.Cup, got.Cup, 0.01, "%v", cut)
		assert.InEpsilon(t, whole.Bow, got.Bow, 0.01, "%v", cut)
		assert.InEpsilon(t, settled.Height, state.Height, 0.01, "%v", cut)
		// An exposure that ends settled ends at the size of that state, less what the faces
		// were crushed by on the way.
		assert.InEpsilon(t, state.Height, last(years.Series.Height), 0.05, "%v", cut)
		assert.InEpsilon(t, state.Width, last(years.Series.Width), 0.05, "%v", cut)
	}
}

// One size for one board: slanting rings turn a square into a diamond, whose
// extent a settled state and an exposure that ends there tell alike.
func TestAStateAndTheExposureThatEndsInItAgreeInSize(t *testing.T) {
	for _, stock := range []string{`"ring_angle":30`, `"ring_angle":0,"grain":30`} {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":10,"stock":{"A":{"species":"sugar-maple","moisture":8,%s}},"field":{"grid":{"block":[300,200],"rows":["A"]}},
			"home":{"months":[%s]},"exposures":[{"name":"year-at-home","years":10}]}`, stock, strings.TrimSuffix(strings.Repeat(`{"humidity":80,"temperature":20},`, 12), ","))
		r := reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true, Series: 400})
		s := r.Exposures[0].Series
		// The face that wets first is crushed against the wood below it: a twentieth at most
		// of the growth is missing.
		assert.InEpsilon(t, r.States[0].Width, s.Width[len(s.Width)-1], 0.05)
		assert.InEpsilon(t, r.States[0].Height, s.Height[len(s.Height)-1], 0.05)
		assert.LessOrEqual(t, s.Width[len(s.Width)-1], r.Size.WidthMax-r.Width+1e-9)
	}
}

// A square board keeps its cup and its bow when it is turned by a right angle.
func TestTurningASquareBoardKeepsItsCup(t *testing.T) {
	for _, grain := range []string{"", `,"grain":0`} {
		turned := grain
		if grain != "" {
			turned = `,"grain":90`
		}
		one := func(ring float64, grain string) Exposure {
			b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","ring_angle":%g,"moisture":8%s}},"field":{"grid":{"block":[120,120],"rows":["AA","AA"]}},
				"exposures":[{"name":"flat-on-wet-counter"}]}`, ring, grain)
			return reportOf(t, b, Conditions{ByStress: true, NoCracks: true, NoChance: true, Series: 400}).Exposures[0]
		}
		ring := 90.0
		if grain != "" {
			ring = 0
		}
		a, c := one(0, grain), one(ring, turned)
		assert.InEpsilon(t, a.Cup, c.Cup, 1e-6)
		assert.InEpsilon(t, a.Bow, c.Bow, 1e-6)
		assert.Greater(t, math.Abs(a.Cup), math.Abs(a.Bow), "the cup is the way that curves more")
		// The bow has a history and an hour of its own.
		most := 0.0
		for i, v := range a.Series.Bow {
			if math.Abs(v) > math.Abs(most) {
				most = v
				assert.LessOrEqual(t, a.Series.Hours[i], a.BowHour+1e-9)
			}
		}
		assert.InEpsilon(t, a.Bow, most, 1e-6)
	}
}

// Where the plate's law is left, the report says so, and only there.
func TestLargeDeflectionsAreTold(t *testing.T) {
	at := func(thickness float64) []string {
		return reportOf(t, boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":%g,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8,"grain":0}},
			"field":{"grid":{"block":[300,300],"rows":["AA"]}},"exposures":[{"name":"flat-on-wet-counter"}]}`, thickness), Conditions{ByStress: true, NoCracks: true, NoChance: true}).Limitations.NotModelled
	}
	assert.Regexp(t, "the cup of [0-9]+ mm told for “flat-on-wet-counter” is more than a tenth of the 300 mm", at(5)[0])
	assert.Equal(t, notModelled, at(40))
}
