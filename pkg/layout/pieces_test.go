package layout_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

func TestOutlinesEitherWayRoundOpenOrClosed(t *testing.T) {
	for _, outline := range []string{
		`[[-20,5],[20,5],[20,35],[-20,35]]`,
		`[[-20,5],[-20,35],[20,35],[20,5]]`,
		`[[-20,5],[20,5],[20,35],[-20,35],[-20,5]]`,
		`[[-20,5],[0,5],[20,5],[20,35],[20,35],[-20,35]]`, // a corner that is none, and one twice
	} {
		b := read(t, file(`"field": {"pieces": [{"stock": "M", "outline": `+outline+`}]}`))
		near(t, rect(0, 0, 40, 30), b.Pieces[0].Outline)
		assert.InDelta(t, 1200, b.Pieces[0].Area, rounding)
	}
}

func TestPieceOverridesItsStock(t *testing.T) {
	b := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[10,10],[50,10],[50,40],[10,40]], "ring_angle": -33},
		{"stock": "M", "outline": [[50,10],[90,10],[90,40],[50,40]], "grain": 90, "ring_angle": 12},
		{"stock": "W", "outline": [[90,10],[130,10],[130,40],[90,40]], "pith": [3, 4]},
		{"stock": "W", "outline": [[130,10],[150,10],[150,40],[130,40]], "grain": 90, "pith": [-6, -25]}]}`))
	assert.Equal(t, -33.0, b.Pieces[0].RingAngle)
	assert.Equal(t, layout.Grain{Angle: 90}, b.Pieces[1].Grain)
	assert.Equal(t, 12.0, b.Pieces[1].RingAngle)
	assert.Equal(t, "p3", b.Pieces[2].ID)
	assert.InDelta(t, 100+3, b.Pieces[2].Pith[0], rounding, "origin moved to the lower left")
	assert.InDelta(t, 15+4, b.Pieces[2].Pith[1], rounding)
	assert.InDelta(t, math.Atan2(-4, -3)*180/math.Pi, b.Pieces[2].RingAngle, rounding)
	// Long grain along +y: n points to −x, so n·centre = −130, and the pith lies
	// 6 the other way and 25 below mid-thickness; R runs up and towards n.
	assert.InDelta(t, -130-6, b.Pieces[3].Pith[0], rounding)
	assert.InDelta(t, -25, b.Pieces[3].Pith[1], rounding)
	assert.InDelta(t, math.Atan2(6, 25)*180/math.Pi, b.Pieces[3].RingAngle, rounding)
}

func TestSnappingWithinTheStatedTolerance(t *testing.T) {
	at := func(x float64) string {
		return file(fmt.Sprintf(`"field": {"pieces": [{"stock": "M", "outline": [[0,0],[40,0],[40,40],[0,40]]},
			{"stock": "W", "outline": [[%g,0],[80,0],[80,40],[%g,40]]}]}`, x, x))
	}
	for _, x := range []float64{40, 40.049, 39.951} {
		b := read(t, at(x))
		require.Len(t, b.Joints, 1)
		assert.InDelta(t, 40, b.Joints[0].Length, rounding)
		assert.Len(t, b.Partition.Vertices, 6, "one vertex for both corners")
	}
	for x, rule := range map[float64]fault.Rule{
		40.051: fault.Sliver, 40.3: fault.Sliver, 40.499: fault.Sliver, 39.949: fault.Overlap, 39.6: fault.Overlap,
	} {
		list := refused(t, at(x))
		require.Len(t, list, 1, "%g", x)
		assert.Equal(t, rule, list[0].Rule, "%g", x)
		assert.Equal(t, []string{"p1", "p2"}, list[0].Pieces)
		assert.InDelta(t, 40, list[0].At[0], 0.5)
	}
	list := refused(t, at(40.6))
	assert.Equal(t, fault.Detached, list[0].Rule, "a real gap; nothing else holds the two")
	list = refused(t, at(39))
	assert.Equal(t, fault.Overlap, list[0].Rule)
	assert.Equal(t, "40 mm² in common", list[0].Found)
}

func TestTJunctionOffTheLineIsSnappedToo(t *testing.T) {
	b := read(t, file(`"field": {"pieces": [{"stock": "M", "outline": [[0,0],[90,0],[90,40],[0,40]]},
		{"stock": "W", "outline": [[0,40.03],[45,39.98],[45,80],[0,80]]},
		{"stock": "M", "outline": [[45,40.02],[90,40],[90,80],[45,80]]}]}`))
	require.Len(t, b.Joints, 3)
	assert.InDelta(t, 45, joint(t, b, "p1|p2").Length, 0.01)
}

func TestGapsAndEnclosedHolesHaveNoJoint(t *testing.T) {
	b := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[0,0],[60,0],[60,20],[0,20]]}, {"stock": "W", "outline": [[0,20],[20,20],[20,40],[0,40]]},
		{"stock": "W", "outline": [[40,20],[60,20],[60,40],[40,40]]}, {"stock": "M", "outline": [[0,40],[60,40],[60,60],[0,60]]}]}`))
	assert.Len(t, b.Joints, 4)
	_, ok := b.Joint("p1|p4")
	assert.False(t, ok)
}

func TestTwoContactsOfOnePairAreNumbered(t *testing.T) {
	b := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[0,0],[60,0],[60,60],[40,60],[40,20],[20,20],[20,60],[0,60]]},
		{"stock": "W", "outline": [[20,20],[40,20],[40,50],[20,50]]}]}`))
	var ids []string
	for _, j := range b.Joints {
		ids = append(ids, j.ID)
	}
	assert.ElementsMatch(t, []string{"p1|p2", "p1|p2#2", "p1|p2#3"}, ids)
	assert.Equal(t, joint(t, b, "p1|p2#2"), joint(t, b, "p2|p1#2"))
}

func TestAChevronsJointsEndAtTheBend(t *testing.T) {
	b := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[0,0],[50,30],[100,0],[100,20],[50,50],[0,20]]},
		{"stock": "W", "outline": [[0,20],[50,50],[100,20],[100,40],[50,70],[0,40]]}]}`))
	require.Len(t, b.Joints, 2)
	for _, j := range b.Joints {
		assert.InDelta(t, math.Hypot(50, 30), j.Length, rounding)
	}
}

func TestStraightJointsSwallowBendsWithinTolerance(t *testing.T) {
	corners := []string{"[0,0]", "[100,0]", "[100,20]", "[50,20.04]", "[0,20]"}
	for start := range corners { // wherever the outline begins
		outline := strings.Join(append(append([]string{}, corners[start:]...), corners[:start]...), ",")
		b := read(t, file(`"field": {"pieces": [
			{"stock": "M", "outline": [`+outline+`]},
			{"stock": "W", "outline": [[0,20],[50,20.04],[100,20],[100,40],[0,40]]}]}`))
		require.Len(t, b.Joints, 1)
		assert.Len(t, b.Joints[0].Edges, 2)
		assert.InDelta(t, 100, b.Joints[0].Length, rounding)
	}
}

// TestOverlapAgainstTheOverlayOfSimplefeatures throws pairs of random triangles
// and quadrilaterals at the reader. What simplefeatures says about their common
// area decides which answers are right.
func TestOverlapAgainstTheOverlayOfSimplefeatures(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	kinds := map[string]int{}
	for trial := range 3000 {
		var outline [2][]layout.XY
		for k := range outline {
			n := 3 + rng.IntN(4)
			start := rng.Float64() * 2 * math.Pi
			cx, cy, r := rng.Float64()*60, rng.Float64()*60, 10+rng.Float64()*25
			for i := range n {
				a := start + 2*math.Pi*float64(i)/float64(n)
				q := r * (0.5 + 0.5*rng.Float64()) // some are not convex
				// Whole numbers now and then make corners and sides meet exactly.
				p := layout.XY{math.Round(cx + q*math.Cos(a)), math.Round(cy + q*math.Sin(a))}
				outline[k] = append(outline[k], p)
			}
		}
		if trial%5 == 0 { // share a side: the second gets an edge of the first, reversed
			outline[1] = []layout.XY{outline[0][1], outline[0][0], outline[1][0]}
		}
		a, b := polygon(outline[0]), polygon(outline[1])
		if a.Validate() != nil || b.Validate() != nil || a.Area() < 1 || b.Area() < 1 {
			continue
		}
		common, err := geom.Intersection(a.AsGeometry(), b.AsGeometry())
		require.NoError(t, err)
		src := file(fmt.Sprintf(`"field": {"pieces": [{"stock": "M", "outline": %s}, {"stock": "W", "outline": %s}]}`,
			text(outline[0]), text(outline[1])))
		board, err := layout.Read([]byte(src))
		rule := "ok"
		if err != nil {
			rule = string(err.(fault.List)[0].Rule)
		} else {
			sound(t, board)
		}
		kinds[rule]++
		where := fmt.Sprintf("trial %d: %s, common area %g: %s", trial, rule, common.Area(), src)
		switch rule {
		case "ok":
			require.Less(t, common.Area(), 60*layout.Snap, where) // sides of up to 60 mm snapped by as much as Snap
			require.NotEmpty(t, board.Joints, where)
			contact := 0.0
			for _, j := range board.Joints {
				contact += j.Length
			}
			line, err := geom.Intersection(a.Boundary().AsGeometry(), b.Boundary().AsGeometry())
			require.NoError(t, err)
			if common.Area() == 0 && line.Length() > 0 { // met exactly, nothing was snapped
				require.InDelta(t, line.Length(), contact, 1e-9, where)
				kinds["contact"]++
			}
		case "overlap":
			require.Greater(t, common.Area(), 0.0, where)
		case "detached":
			require.Less(t, common.Area(), 60*layout.Snap, where)
		case "sliver", "outline":
		default:
			require.Fail(t, where)
		}
	}
	for _, rule := range []string{"ok", "overlap", "detached", "sliver", "contact"} {
		assert.Greater(t, kinds[rule], 20, "the trial reaches every answer: %v", kinds)
	}
}

func text(p []layout.XY) string {
	s := "["
	for i, q := range p {
		if i > 0 {
			s += ","
		}
		s += fmt.Sprintf("[%g,%g]", q[0], q[1])
	}
	return s + "]"
}
