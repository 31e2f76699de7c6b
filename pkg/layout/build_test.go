package layout_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// lanterns is the board of several woods, diagonal sticks, three panels and a border
// in two stages.
const lanterns = "../../testdata/boards/shop/harbour-lanterns.json"

// build writes a file with a build round the parts under test.
func build(panels, slices string, more ...string) string {
	return file(append([]string{`"field": {"build": {"kerf": 3, "sticks": {
		"m": {"stock": "M", "section": [40, 30]}, "w": {"stock": "W", "section": [20, 30]}, "c": {"stock": "P", "section": [30, 40]},
		"sail": {"stock": ["M", "W"], "section": [30, 30], "cut": "rising"},
		"four": {"stock": ["M", "W", "P", "M"], "section": [30, 30], "cut": "both"},
		"line": {"stock": ["M", "W", "P"], "section": [30, 30], "layers": [8, 4, 18]}},
		"panels": {` + panels + `}, "slices": [` + slices + `]}}`,
		`"stock": {"M": {"species": "sugar-maple", "ring_angle": 10, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": 70},
		"P": {"species": "black-cherry", "pith": [4, -30]}}`}, more...)...)
}

// plane is a turn as a matrix, the second opinion on what turns do.
type plane [2][2]float64

func (a plane) times(b plane) (c plane) {
	for i := range c {
		for k := range c[i] {
			c[i][k] = a[i][0]*b[0][k] + a[i][1]*b[1][k]
		}
	}
	return c
}

func (a plane) of(p layout.XY) layout.XY {
	return layout.XY{a[0][0]*p[0] + a[0][1]*p[1], a[1][0]*p[0] + a[1][1]*p[1]}
}

var (
	asItIs      = plane{{1, 0}, {0, 1}}
	quarterTurn = plane{{0, -1}, {1, 0}}
	mirrored    = plane{{-1, 0}, {0, 1}}
	stickPlanes = map[string]plane{"none": asItIs, "quarter": quarterTurn, "half": {{-1, 0}, {0, -1}}, "three-quarters": {{0, 1}, {-1, 0}}}
	slicePlanes = map[string]plane{"none": asItIs, "end-for-end": {{-1, 0}, {0, -1}}, "over": {{1, 0}, {0, -1}}, "both": mirrored}
	sidePlanes  = map[string]plane{"": asItIs, "bottom": asItIs, "right": quarterTurn, "top": {{-1, 0}, {0, -1}}, "left": {{0, 1}, {-1, 0}}}
)

// Wherever a stick, its slice and the side of a border are turned to, each of its
// parts lies where the product of the three turns takes it, its rings and its pith
// with it.
func TestTurnsOfSticksAndSlices(t *testing.T) {
	axis := func(deg float64) layout.XY {
		s, c := math.Sincos(deg * math.Pi / 180)
		return layout.XY{c, s}
	}
	for turn := range stickPlanes {
		for _, ends := range []bool{false, true} {
			for slice, third := range slicePlanes {
				second := asItIs
				if ends {
					second = mirrored
				}
				src := build(fmt.Sprintf(`"A": {"sticks": [{"stick": "four", "turn": %q, "end_for_end": %v}], "length": 900, "thickness": 30}`, turn, ends),
					fmt.Sprintf(`{"panel": "A", "turn": %q}`, slice),
					fmt.Sprintf(`"borders": [{"panel": "A", "turn": %q, "grain": "up", "sides": ["left", "right", "bottom", "top"]}]`, slice))
				b := read(t, src)
				for i := range b.Pieces {
					p := &b.Pieces[i]
					s := b.Build.Slices[p.Slice]
					if s.Border >= 0 && len(s.Pieces) != 4 {
						continue // sawn off at the ends
					}
					m := sidePlanes[s.Side].times(third).times(second).times(stickPlanes[turn])
					var lo, hi layout.XY
					lo, hi = layout.XY{math.Inf(1), math.Inf(1)}, layout.XY{math.Inf(-1), math.Inf(-1)}
					for _, k := range s.Pieces {
						for _, q := range b.Pieces[k].Outline {
							for a := range q {
								lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
							}
						}
					}
					middle := layout.XY{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
					made := []layout.XY{{0, 10}, {10, 0}, {0, -10}, {-10, 0}}[p.StickPart] // centroids: top, right, bottom, left
					want := m.of(made)
					if s.Border < 0 || s.Side == "left" || s.Side == "right" {
						assert.InDelta(t, want[0]+middle[0], p.Centre[0], rounding, "%s %v %s %s", turn, ends, slice, p.ID)
						assert.InDelta(t, want[1]+middle[1], p.Centre[1], rounding, "%s %v %s %s", turn, ends, slice, p.ID)
					}
					ring := 10.0
					switch p.StickPart {
					case 1:
						ring = 70
					case 2:
						pith := m.of(layout.XY{4, -30})
						require.NotNil(t, p.Pith)
						assert.InDelta(t, pith[0]+p.Centre[0], p.Pith[0], rounding, p.ID)
						assert.InDelta(t, pith[1]+p.Centre[1], p.Pith[1], rounding, p.ID)
						continue
					}
					u, v := m.of(axis(ring)), axis(p.RingAngle)
					assert.InDelta(t, 0, u[0]*v[1]-u[1]*v[0], 1e-12, "%s %v %s %s: an axis has no sign", turn, ends, slice, p.ID)
				}
			}
		}
	}
}

// The short form and the build tell the same board.
func TestSlicesAreAShortBuild(t *testing.T) {
	for _, turn := range []string{"none", "end-for-end", "over", "both"} {
		long := read(t, build(`"A": {"sticks": ["m", "w", "sail"], "length": 900, "thickness": 30}`,
			strings.Repeat(`"A", {"panel": "A", "turn": "`+turn+`"}, `, 2)+`"A"`))
		short := read(t, file(`"field": {"slices": {"strips": [["M", 40], ["W", 20], ["M", 30]], "height": 30, "count": 5, "turn": "`+turn+`"}}`,
			`"stock": {"M": {"species": "sugar-maple", "ring_angle": 10, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": 70}}`))
		for _, p := range short.Pieces {
			for _, q := range long.Pieces {
				if q.ID == p.ID {
					assert.Equal(t, []any{p.Outline, p.RingAngle, p.Stock, p.Moisture, p.Stick, p.Slice}, []any{q.Outline, q.RingAngle, q.Stock, q.Moisture, q.Stick, q.Slice}, p.ID)
				}
			}
		}
		assert.Len(t, short.Pieces, 15)
		assert.Len(t, long.Pieces, 20, "a sail is two")
	}
}

// Planing takes both faces alike: what was a triangle has lost its tip.
func TestPlaningCutsSticks(t *testing.T) {
	b := read(t, build(`"A": {"sticks": ["sail", "line", {"stick": "line", "turn": "quarter"}], "length": 200, "thickness": 20}`, `"A"`))
	nw := piece(t, b, "r1c1.nw")
	assert.Equal(t, "M", nw.Stock)
	assert.InDelta(t, 300, nw.Area, rounding, "20·30 in two halves")
	assert.Len(t, nw.Outline, 4)
	area := map[string]float64{}
	for _, p := range b.Pieces {
		area[p.ID] = p.Area
	}
	assert.InDelta(t, 3*30, area["r1c2.1"], rounding, "5 mm off the upper layer of 8")
	assert.InDelta(t, 4*30, area["r1c2.2"], rounding)
	assert.InDelta(t, 13*30, area["r1c2.3"], rounding)
	assert.InDelta(t, 8*20, area["r1c3.1"], rounding, "what was on top lies left after a quarter turn")
	assert.InDelta(t, 18*20, area["r1c3.3"], rounding)
}

// A border of slices lies centred, its overhang sawn off, its slices end to end.
func TestBordersOfPanels(t *testing.T) {
	b := read(t, build(`"A": {"sticks": ["m", "w", "sail", "m"], "length": 200, "thickness": 30}, "E": {"sticks": ["m", "w"], "length": 300, "thickness": 8}`, `"A", "A"`,
		`"borders": [{"panel": "E", "grain": "up", "sides": ["top", "left"]}]`))
	var top, left []string
	for _, p := range b.Pieces {
		lo, hi := p.Outline[0], p.Outline[0]
		for _, q := range p.Outline {
			for a := range q {
				lo[a], hi[a] = math.Min(lo[a], q[a]), math.Max(hi[a], q[a])
			}
		}
		at := fmt.Sprintf("%s %s %g-%g %g-%g", p.ID, p.Stock, lo[0], hi[0], lo[1], hi[1])
		switch p.Part {
		case "border 1 top":
			top = append(top, at)
		case "border 1 left":
			left = append(left, at)
		}
	}
	// Along the top 130 mm: three slices of 60 mm, 25 mm off at each end; they run
	// from right to left, and are numbered from the left.
	assert.ElementsMatch(t, []string{"b1.top.1 M 8-43 60-68", "b1.top.2 W 43-63 60-68", "b1.top.3 M 63-103 60-68", "b1.top.4 W 103-123 60-68", "b1.top.5 M 123-138 60-68"}, top)
	assert.ElementsMatch(t, []string{"b1.left.1 M 0-8 54-68", "b1.left.2 W 0-8 34-54", "b1.left.3 M 0-8 0-34"}, left)
	assert.Equal(t, []float64{138, 68}, []float64{b.Width, b.Height})
	e := b.Build.Panels[1]
	assert.Equal(t, []any{"E", 5}, []any{e.Key, e.Slices})
}

// Every joint knows the glue-up in which it is made, and blocks from one stick share
// what the stick has.
func TestGlueUpsOfABuild(t *testing.T) {
	src, err := os.ReadFile(lanterns)
	require.NoError(t, err)
	b := read(t, string(src))
	var ids []string
	joints := 0
	for _, g := range b.GlueUps {
		ids = append(ids, g.ID)
		for _, j := range g.Joints {
			joints++
			assert.Equal(t, g.ID, b.GlueUps[b.Joints[j].GlueUp].ID)
			p, q := &b.Pieces[b.Joints[j].A], &b.Pieces[b.Joints[j].B]
			assert.Equal(t, g.Kind == layout.StageStick, p.Slice == q.Slice && p.Stick == q.Stick, b.Joints[j].ID)
			assert.Equal(t, g.Kind == layout.StagePanel, p.Slice == q.Slice && p.Stick != q.Stick, b.Joints[j].ID)
			assert.Equal(t, g.Kind == layout.StageBorder, p.Slice != q.Slice && max(p.Border, q.Border) >= 0, b.Joints[j].ID)
			assert.Contains(t, g.Pieces, b.Joints[j].A)
			assert.Contains(t, g.Pieces, b.Joints[j].B)
		}
	}
	assert.Equal(t, []string{"stick.sail", "stick.glow", "stick.line", "panel.A", "panel.B", "panel.C", "field", "panel.H", "b1", "panel.R", "b2"}, ids)
	assert.Equal(t, len(b.Joints), joints)
	var stages []string
	for _, s := range b.Stages {
		stages = append(stages, s.Name)
	}
	assert.Equal(t, []string{"the field", "border 1", "border 2"}, stages)

	of := map[string]map[float64]bool{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		s := b.Build.Sticks[p.Stick]
		assert.Equal(t, s.Parts[p.StickPart].Stock, p.Stock, p.ID)
		assert.Equal(t, s.Parts[p.StickPart].Moisture, p.Moisture, p.ID)
		key := fmt.Sprint(s.ID, " ", p.StickPart)
		if of[key] == nil {
			of[key] = map[float64]bool{}
		}
		of[key][p.Moisture] = true
	}
	for key, all := range of {
		assert.Len(t, all, 1, key)
	}
	assert.Equal(t, 8.0, piece(t, b, "r3c9").Moisture, "the stick's own")
}

// A rest of the panels is a stage before the rows are glued: the rows are apart in it.
func TestPanelsRest(t *testing.T) {
	src := build(`"A": {"sticks": ["m", "w"], "length": 200, "thickness": 30}`, `"A", "A"`)
	src = strings.Replace(src, `"kerf": 3`, `"kerf": 3, "rest": {"days": 9}`, 1)
	b := read(t, src)
	require.Len(t, b.Stages, 2)
	assert.Equal(t, []any{"the panels", layout.StagePanel, 30.0}, []any{b.Stages[0].Name, b.Stages[0].Kind, b.Stages[0].Side})
	assert.Equal(t, []any{"/field/build", 9.0}, []any{b.Stages[1].Pointer, b.Stages[1].Rest.Days})
	ids := func(s layout.Stage) (out []string) {
		for _, j := range s.Joints {
			out = append(out, b.Joints[j].ID)
		}
		return out
	}
	assert.ElementsMatch(t, []string{"r1c1|r1c2", "r2c1|r2c2"}, ids(b.Stages[0]))
	assert.ElementsMatch(t, []string{"r1c1|r2c1", "r1c2|r2c2"}, ids(b.Stages[1]))
	f := parsed(t, src)
	assert.Equal(t, f.JSON(), parsed(t, string(f.JSON())).JSON())
}

// Unknown rings are drawn once a stick: what is cut from it shares them.
func TestUnknownRingsAreDrawnByStick(t *testing.T) {
	src := build(`"A": {"sticks": ["m", {"stick": "m", "turn": "half"}, {"stick": "sail", "ring_angle": [null, "unknown"]}], "length": 200, "thickness": 30}`, `"A", {"panel": "A", "turn": "over"}`)
	f := parsed(t, strings.Replace(src, `"ring_angle": 10`, `"ring_angle": "unknown"`, 1))
	b, d := laid(t, f), laid(t, f.Draw(3))
	known := map[string]float64{}
	for i, p := range d.Pieces {
		assert.True(t, b.Pieces[i].RingUnknown, p.ID)
		assert.False(t, p.RingUnknown, p.ID)
		known[p.ID] = p.RingAngle
	}
	assert.Equal(t, known["r1c1"], -known["r2c1"], "the same stick, rolled over")
	assert.NotEqual(t, known["r1c1"], known["r1c2"])
	assert.NotEqual(t, known["r1c3.nw"], known["r1c3.se"])
	assert.Equal(t, known["r1c3.nw"], -known["r2c3.sw"])
}

// What-ifs reach what a build says of its own: moisture of single sticks, the width of
// a border that comes from planing, the turn of a stick.
func TestEditsOfABuild(t *testing.T) {
	src := build(`"A": {"sticks": [{"stick": "m", "moisture": 6}, {"stick": "sail", "turn": "quarter", "end_for_end": true}], "length": 300, "thickness": 30}, "E": {"sticks": ["m"], "length": 300, "thickness": 9}`, `"A"`,
		`"borders": [{"panel": "E", "grain": "up", "sides": ["top"]}]`)
	f := parsed(t, src)
	f.SetMoisture(11)
	f.SetBorderWidth(0, 7)
	f.CutBorder(0, 3)
	b := laid(t, f)
	for _, p := range b.Pieces {
		assert.Equal(t, 11.0, p.Moisture, p.ID)
	}
	assert.Equal(t, 7.0, b.Borders[0].Width)
	assert.Equal(t, 37.0, b.Height)

	// Four quarters, and over twice, come back to what it was.
	was := string(parsed(t, src).JSON())
	for _, steps := range [][2]int{{0, 1}, {1, 0}} {
		f = parsed(t, src)
		for range 4 {
			f.TurnStick("A", 1, steps[0] == 1, steps[1])
		}
		assert.Equal(t, was, string(f.JSON()))
	}
	f.TurnStick("A", 1, true, 1)
	assert.NotEqual(t, was, string(f.JSON()))
	f.TurnStick("A", 1, true, 1)
	assert.Equal(t, was, string(f.JSON()), "a mirror and a turn undo themselves")
	f.TurnStick("A", 9, true, 1)
	f.TurnStick("Z", 0, true, 1)
	assert.Equal(t, was, string(f.JSON()), "what is not there stays")
}

// Rows are told one by one, and as a repeat again where they still come again.
func TestRowsOfABuild(t *testing.T) {
	f := parsed(t, strings.Replace(build(`"A": {"sticks": ["m"], "length": 300, "thickness": 30}, "B": {"sticks": ["m"], "length": 300, "thickness": 20}`, `"A", "B"`), `"kerf": 3`, `"repeat": 2, "kerf": 3`, 1))
	was := string(f.JSON())
	b := f.Field.Build
	rows := b.Rows()
	require.Len(t, rows, 4)
	b.SetRows(rows)
	assert.Equal(t, was, string(f.JSON()))
	rows[1], rows[2] = rows[2], rows[1]
	b.SetRows(rows)
	assert.Zero(t, b.Repeat)
	assert.Len(t, b.Slices, 4)
	assert.Equal(t, []float64{30, 30, 20, 20}, heights(laid(t, f)))
	rows = []layout.SliceOf{{Panel: "B"}, {Panel: "A", Turn: "over"}, {Panel: "B"}, {Panel: "A", Turn: "over"}}
	f = parsed(t, was)
	f.Field.Build.SetRows(rows)
	assert.Equal(t, []any{2, rows[:2]}, []any{f.Field.Build.Repeat, f.Field.Build.Slices})
}

// heights are those of the rows from the top.
func heights(b *layout.Board) (out []float64) {
	for _, s := range b.Build.Slices {
		out = append(out, b.Build.Panels[s.Panel].Thickness)
	}
	return out
}

// A strip turned about its length has its pith on the other side and below instead of
// above; the ring angle in its middle is the same axis. Straight rings lie as they did.
func TestAStripTurnsAbout(t *testing.T) {
	f := parsed(t, file(field2x1, `"stock": {"M": {"species": "sugar-maple", "ring_angle": 10}, "W": {"species": "black-walnut", "pith": [8, -30]}}`, `"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top"]}]`))
	before := laid(t, f)
	key, ok := f.Around("W")
	require.True(t, ok)
	f.Borders[0].Stock = key
	after := laid(t, f)
	p, q := piece(t, before, "b1.top"), piece(t, after, "b1.top")
	assert.InDelta(t, 0, math.Remainder(p.RingAngle-q.RingAngle, 180), 1e-9)
	assert.InDelta(t, 2*(-p.Centre[1]), p.Pith[0]+q.Pith[0], 1e-9, "n points down on the top side")
	assert.Equal(t, -p.Pith[1], q.Pith[1])
	again, ok := f.Around("W")
	assert.Equal(t, []any{key, true}, []any{again, ok})
	_, ok = f.Around("M")
	assert.False(t, ok)
}
