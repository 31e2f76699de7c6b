package layout_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// rounding is how exact geometry must come out: mm, far above float64 noise on
// boards of metres and far below Snap.
const rounding = 1e-9

// file writes a board file round the parts under test.
func file(parts ...string) string {
	have := strings.Join(parts, ",")
	for key, def := range map[string]string{
		`"units"`:     `"units": "mm"`,
		`"thickness"`: `"thickness": 40`,
		`"stock"`: `"stock": {"M": {"species": "sugar-maple", "ring_angle": 10, "moisture": 7.5},
		             "W": {"species": "black-walnut", "ring_angle": 70, "moisture": 8}}`,
	} {
		given := false
		for _, p := range parts {
			given = given || strings.HasPrefix(p, key)
		}
		if !given {
			have += "," + def
		}
	}
	return `{"tanrad": 1,` + have + `}`
}

func read(t *testing.T, src string) *layout.Board {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	require.NotNil(t, b)
	sound(t, b)
	return b
}

// refused reads a file that must be refused and returns its faults.
func refused(t *testing.T, src string) fault.List {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.Error(t, err)
	assert.Nil(t, b, "whole or nothing")
	var list fault.List
	require.ErrorAs(t, err, &list)
	for _, f := range list {
		assert.NotEmpty(t, f.Detail)
		if f.At != nil {
			assert.False(t, math.IsNaN(f.At[0]+f.At[1]))
		}
	}
	return list
}

// sound checks what must hold for every board, whatever its layout; the overlay
// of simplefeatures is the second opinion on areas and contact.
func sound(t *testing.T, b *layout.Board) {
	t.Helper()
	ids := map[string]bool{}
	for i, p := range b.Pieces {
		assert.False(t, ids[p.ID], "piece id %s twice", p.ID)
		ids[p.ID] = true
		assert.Positive(t, p.Area)
		assert.InDelta(t, polygon(p.Outline).Area(), p.Area, 1e-9*p.Area, p.ID)
		ring := b.Partition.Rings[i]
		require.GreaterOrEqual(t, len(ring), len(p.Outline))
		area := 0.0
		for k, u := range ring {
			from, to := ends(b, u)
			_, next := from, to
			follows, _ := ends(b, ring[(k+1)%len(ring)])
			require.Equal(t, next, follows, "ring of %s is not closed", p.ID)
			e := b.Partition.Edges[u.Edge]
			if u.Reversed {
				require.Equal(t, i, e.Right)
			} else {
				require.Equal(t, i, e.Left)
			}
			v, w := b.Partition.Vertices[from], b.Partition.Vertices[to]
			area += (v[0]*w[1] - v[1]*w[0]) / 2
		}
		assert.Positive(t, area, "ring of %s runs clockwise", p.ID)
	}
	joints := map[string]bool{}
	for k, j := range b.Joints {
		assert.False(t, joints[j.ID], "joint id %s twice", j.ID)
		joints[j.ID] = true
		require.NotEmpty(t, j.Edges)
		dx, dy := j.To[0]-j.From[0], j.To[1]-j.From[1]
		assert.InDelta(t, j.Length, math.Hypot(dx, dy), rounding)
		assert.GreaterOrEqual(t, j.Length, layout.Narrow)
		for _, e := range j.Edges {
			edge := b.Partition.Edges[e]
			assert.Equal(t, k, edge.Joint)
			assert.ElementsMatch(t, []int{j.A, j.B}, []int{edge.Left, edge.Right})
		}
		// A lies left of From→To: so does a point just left of its first edge.
		e := b.Partition.Edges[j.Edges[0]]
		p, q := b.Partition.Vertices[e.V0], b.Partition.Vertices[e.V1]
		at := geom.XY{X: (p[0]+q[0])/2 - 0.1*dy/j.Length, Y: (p[1]+q[1])/2 + 0.1*dx/j.Length}
		in, err := geom.Intersects(polygon(b.Pieces[j.A].Outline).AsGeometry(), at.AsPoint().AsGeometry()), error(nil)
		require.NoError(t, err)
		assert.True(t, in, "piece A of %s does not lie left of it", j.ID)
	}
	for i, e := range b.Partition.Edges {
		if e.Left >= 0 && e.Right >= 0 {
			assert.GreaterOrEqual(t, e.Joint, 0, "edge %d between two pieces has no joint", i)
		} else {
			assert.Equal(t, -1, e.Joint)
		}
	}
	assert.InDelta(t, 0, lowest(b, 0), rounding)
	assert.InDelta(t, 0, lowest(b, 1), rounding)
}

func lowest(b *layout.Board, axis int) float64 {
	m := math.Inf(1)
	for _, v := range b.Partition.Vertices {
		m = min(m, v[axis])
	}
	return m
}

func ends(b *layout.Board, u layout.RingEdge) (from, to int) {
	e := b.Partition.Edges[u.Edge]
	if u.Reversed {
		return e.V1, e.V0
	}
	return e.V0, e.V1
}

func polygon(p []layout.XY) geom.Polygon {
	var flat []float64
	for i := 0; i <= len(p); i++ {
		flat = append(flat, p[i%len(p)][0], p[i%len(p)][1])
	}
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))})
}

func piece(t *testing.T, b *layout.Board, id string) layout.Piece {
	t.Helper()
	for _, p := range b.Pieces {
		if p.ID == id {
			return p
		}
	}
	require.Fail(t, "no piece "+id)
	return layout.Piece{}
}

func joint(t *testing.T, b *layout.Board, id string) layout.Joint {
	t.Helper()
	j, ok := b.Joint(id)
	require.True(t, ok, "no joint %s", id)
	return j
}

func near(t *testing.T, want, got []layout.XY) {
	t.Helper()
	require.Len(t, got, len(want))
	start := 0
	for k := range got { // outlines may begin anywhere
		if math.Hypot(got[k][0]-want[0][0], got[k][1]-want[0][1]) < rounding {
			start = k
		}
	}
	for k := range want {
		g := got[(start+k)%len(got)]
		assert.InDelta(t, want[k][0], g[0], rounding, fmt.Sprint(got))
		assert.InDelta(t, want[k][1], g[1], rounding, fmt.Sprint(got))
	}
}

func rect(x0, y0, x1, y1 float64) []layout.XY {
	return []layout.XY{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}
