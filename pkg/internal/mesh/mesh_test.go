package mesh

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// boards gives every good board file there is, and the reference boards.
func boards(t testing.TB) map[string]*layout.Board {
	t.Helper()
	out := map[string]*layout.Board{}
	for _, name := range boardtest.Names(t) {
		out[name] = boardtest.Named(t, name)
	}
	require.GreaterOrEqual(t, len(out), 20)
	out["B48"] = read(t, string(boardgen.B48(0, 1)))
	out["tiles and border"] = read(t, string(boardgen.Grid(boardgen.Options{Rows: 6, Cols: 7, Tiles: true, Border: 23, Seed: 4})))
	return out
}

var read = boardtest.Text

// bricks is a board of staggered rows.
func bricks(stagger float64, w, h float64) string {
	rows := strings.TrimSuffix(strings.Repeat(`"MMMMMM",`, 5), ",")
	return fmt.Sprintf(`{"tanrad":1,"name":"bricks","units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0}},
		"field":{"grid":{"block":[%g,%g],"rows":[%s],"stagger":%g}},"glue":"pva-crosslinking","finish":"none","glue_up":{"humidity":45,"temperature":20}}`, w, h, rows, stagger)
}

func TestEveryBoardIsCovered(t *testing.T) {
	for name, b := range boards(t) {
		for refine := range 2 {
			t.Run(fmt.Sprintf("%s refine %d", name, refine), func(t *testing.T) {
				m, err := Build(t.Context(), b, Options{Refine: refine})
				require.NoError(t, err)
				covers(t, b, m)
				assert.GreaterOrEqual(t, m.MinAngle, 15.0) // what the roughest of the boards has is 18°
			})
		}
	}
}

func TestStaggersAreCovered(t *testing.T) {
	for _, s := range []float64{0.5, 1. / 3, 0.25, 0.37, 0.13, 0.07} {
		for _, w := range []float64{40, 23} {
			b := read(t, bricks(s, w, 25))
			m, err := Build(t.Context(), b, Options{})
			require.NoError(t, err)
			covers(t, b, m)
		}
	}
}

// covers checks that a mesh conforms: every element is the right way round with
// its midside nodes in the middle, every piece is covered exactly, every side
// is shared by two elements or lies on an edge, and edges know their elements
// both ways.
func covers(t *testing.T, b *layout.Board, m *Mesh) {
	t.Helper()
	type user struct{ element, side int }
	sides := map[[2]int32][]user{}
	area := make([]float64, len(b.Pieces))
	used := make([]bool, len(m.Nodes))
	for i := range m.Elements {
		e := &m.Elements[i]
		nc := e.Corners()
		for c := 0; c < nc; c++ {
			p, q, r := m.Nodes[e.Nodes[c]], m.Nodes[e.Nodes[(c+1)%nc]], m.Nodes[e.Nodes[(c+2)%nc]]
			require.Positive(t, cross(p, q, r), "element %d turns the wrong way", i)
			require.InDelta(t, 0, dist(m.Nodes[e.Nodes[nc+c]], mid(p, q)), 1e-9, "midside")
			area[e.Piece] += (p[0]*q[1] - p[1]*q[0]) / 2
			k := pair(e.Nodes[c], e.Nodes[(c+1)%nc])
			sides[k] = append(sides[k], user{i, c})
		}
		for _, n := range e.Nodes[:e.N] {
			used[n] = true
		}
	}
	for p := range b.Pieces {
		require.InEpsilon(t, b.Pieces[p].Area, area[p], 1e-9, "piece %s", b.Pieces[p].ID)
		for _, e := range m.ByPiece[p] {
			require.Equal(t, int32(p), m.Elements[e].Piece)
		}
	}
	for n, u := range used {
		require.True(t, u, "node %d belongs to no element", n)
	}
	onEdge := map[[2]int32]bool{}
	for i := range m.Edges {
		em, ed := &m.Edges[i], &b.Partition.Edges[i]
		n := (len(em.Nodes) - 1) / 2
		require.InDelta(t, 0, dist(m.Nodes[em.Nodes[0]], b.Partition.Vertices[ed.V0]), 1e-9)
		require.InDelta(t, 0, dist(m.Nodes[em.Nodes[2*n]], b.Partition.Vertices[ed.V1]), 1e-9)
		for k := 0; k < n; k++ {
			a, c := em.Nodes[2*k], em.Nodes[2*k+2]
			onEdge[pair(a, c)] = true
			for _, s := range []struct {
				piece int
				list  []Side
				turn  bool
			}{{ed.Left, em.Left, false}, {ed.Right, em.Right, true}} {
				if s.piece < 0 {
					require.Empty(t, s.list)
					continue
				}
				require.Len(t, s.list, n)
				e := &m.Elements[s.list[k].Element]
				from, to := e.Nodes[s.list[k].Side], e.Nodes[(int(s.list[k].Side)+1)%e.Corners()]
				if s.turn {
					from, to = to, from
				}
				require.Equal(t, [2]int32{a, c}, [2]int32{from, to}, "the left piece's side runs with the edge, the right one's against it")
				require.Equal(t, int32(s.piece), e.Piece)
				require.Equal(t, em.Nodes[2*k+1], e.Nodes[e.Corners()+int(s.list[k].Side)])
			}
		}
	}
	for k, u := range sides {
		switch {
		case len(u) == 1:
			require.True(t, onEdge[k], "a side that one element has lies on an edge")
		case onEdge[k]:
			require.NotEqual(t, m.Elements[u[0].element].Piece, m.Elements[u[1].element].Piece)
		default:
			require.Len(t, u, 2)
			require.Equal(t, m.Elements[u[0].element].Piece, m.Elements[u[1].element].Piece)
		}
	}
}

// TestSameBoardSameMesh: no map order, no chance.
func TestSameBoardSameMesh(t *testing.T) {
	for name, b := range boards(t) {
		m1, err := Build(t.Context(), b, Options{})
		require.NoError(t, err)
		m2, err := Build(t.Context(), b, Options{})
		require.NoError(t, err)
		assert.Equal(t, m1, m2, name)
	}
}

// TestCongruentPieces: pieces alike up to a shift, with neighbours alike, get
// the same element shapes.
func TestCongruentPieces(t *testing.T) {
	b := read(t, string(boardgen.Grid(boardgen.Options{Rows: 5, Cols: 6, Kinds: 3, Seed: 2})))
	m, err := Build(t.Context(), b, Options{})
	require.NoError(t, err)
	shapes := func(p int) (s []int32) {
		for _, e := range m.ByPiece[p] {
			s = append(s, m.Elements[e].Shape)
		}
		return s
	}
	inner := func(p *layout.Piece) bool { return p.Row > 0 && p.Row < 4 && p.Col > 0 && p.Col < 5 }
	first := -1
	for p := range b.Pieces {
		if !inner(&b.Pieces[p]) {
			continue
		}
		if first < 0 {
			first = p
			continue
		}
		assert.Equal(t, shapes(first), shapes(p), b.Pieces[p].ID)
	}
	// 4 base shapes, and per corner its 5 cut ones.
	assert.LessOrEqual(t, m.Shapes, 4+4*5)

	tiles := read(t, string(boardgen.Grid(boardgen.Options{Rows: 8, Cols: 8, Tiles: true, Seed: 2})))
	m, err = Build(t.Context(), tiles, Options{})
	require.NoError(t, err)
	assert.Less(t, m.Shapes, 400)
	assert.Greater(t, len(m.Elements), 10*m.Shapes)
}

// TestHalving: every step cuts each element in four and keeps the old nodes.
func TestHalving(t *testing.T) {
	b := read(t, bricks(0.37, 40, 25))
	coarse, err := Build(t.Context(), b, Options{})
	require.NoError(t, err)
	fine, err := Build(t.Context(), b, Options{Refine: 1})
	require.NoError(t, err)
	assert.Len(t, fine.Elements, 4*len(coarse.Elements))
	assert.Equal(t, coarse.Nodes, fine.Nodes[:len(coarse.Nodes)])
	for i := range coarse.Edges {
		assert.Len(t, fine.Edges[i].Nodes, 2*len(coarse.Edges[i].Nodes)-1)
	}
	covers(t, b, fine)
}

func TestOptionsOutOfRange(t *testing.T) {
	b := read(t, bricks(0.5, 40, 25))
	for _, o := range []Options{{First: -1}, {Growth: 0.5}, {Most: -3}, {Corner: -2}, {Corner: 9}, {Refine: 5}, {Refine: -1}} {
		_, err := Build(t.Context(), b, o)
		assert.ErrorContains(t, err, "out of range", "%+v", o)
	}
}

// TestRandomOutlines throws polygons, most of them not convex, at the
// triangulation: each must come out covered exactly, with no triangle the wrong
// way round and none absurdly sharp or many.
func TestRandomOutlines(t *testing.T) {
	tried := 0
	for seed := uint64(0); seed < 400; seed++ {
		r := rand.New(rand.NewPCG(seed, 1))
		out := star(r)
		if out == nil {
			continue
		}
		tried++
		var rim []layout.XY
		perimeter := 0.0
		for i := range out {
			a, b := out[i], out[(i+1)%len(out)]
			d := divide(dist(a, b), Options{}.withDefaults(), func(float64) float64 { return 16 })
			for k := 0; k+1 < len(d); k++ {
				rim = append(rim, lerp(a, b, d[k]))
			}
			perimeter += dist(a, b)
		}
		tr, err := triangulate(t.Context(), rim)
		require.NoError(t, err, "seed %d, outline %v", seed, out)
		area, want, least := 0.0, 0.0, 180.0
		for i := range out {
			p, q := out[i], out[(i+1)%len(out)]
			want += (p[0]*q[1] - p[1]*q[0]) / 2
		}
		for _, v := range tr.tri {
			a := cross(tr.pts[v[0]], tr.pts[v[1]], tr.pts[v[2]]) / 2
			require.Positive(t, a, "seed %d", seed)
			area += a
			least = math.Min(least, sharpest(tr.pts[v[0]], tr.pts[v[1]], tr.pts[v[2]]))
		}
		require.InEpsilon(t, want, area, 1e-9, "seed %d", seed)
		require.Greater(t, least, 3.0, "seed %d, outline %v", seed, out) // degrees; corners of 15° and necks narrower than their sides' elements are among them
		require.Less(t, len(tr.tri), 40*len(rim), "seed %d", seed)
	}
	assert.Greater(t, tried, 150)
}

// star is a random polygon seen whole from its middle, or nil when it has a
// corner under 15° or a side under 0.5 mm.
func star(r *rand.Rand) []layout.XY {
	n := 3 + r.IntN(8)
	sx, sy := math.Exp(r.Float64()*3)*5, math.Exp(r.Float64()*3)*5
	var out []layout.XY
	for i := 0; i < n; i++ {
		a := (float64(i) + 0.8*r.Float64()) * 2 * math.Pi / float64(n)
		d := 0.35 + 0.65*r.Float64()
		out = append(out, layout.XY{sx * d * math.Cos(a), sy * d * math.Sin(a)})
	}
	area := 0.0
	for i := range out {
		a, b, c := out[(i+n-1)%n], out[i], out[(i+1)%n]
		if dist(b, c) < 0.5 || angle(b, a, c) < 15 || (n == 3 && cross(a, b, c) <= 0) {
			return nil
		}
		area += b[0]*c[1] - b[1]*c[0]
	}
	if area < 2 {
		return nil
	}
	return out
}

// TestShortEdges: a joint of 2 mm in a row of blocks does not break the cover,
// and the elements around it follow its size.
func TestShortEdges(t *testing.T) {
	b := read(t, bricks(0.05, 40, 25))
	m, err := Build(t.Context(), b, Options{})
	require.NoError(t, err)
	covers(t, b, m)
	for i := range b.Partition.Edges {
		ed := &b.Partition.Edges[i]
		l := dist(b.Partition.Vertices[ed.V0], b.Partition.Vertices[ed.V1])
		if l > 2.1 {
			continue
		}
		for k := range b.Partition.Edges {
			other := &b.Partition.Edges[k]
			if other.V0 == ed.V0 || other.V1 == ed.V0 || other.V0 == ed.V1 || other.V1 == ed.V1 {
				n := m.Edges[k].Nodes
				assert.LessOrEqual(t, dist(m.Nodes[n[0]], m.Nodes[n[2]]), 2.0)
			}
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	for _, c := range []struct {
		name string
		src  []byte
	}{
		{"B192", boardgen.B192(0, 1)},
		{"B600", boardgen.B600(0, 1)},
		{"2400 quarter tiles", boardgen.Grid(boardgen.Options{Rows: 30, Cols: 40, Tiles: true, RandomRings: true})},
	} {
		b.Run(c.name, func(b *testing.B) {
			board := read(b, string(c.src))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Build(b.Context(), board, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
