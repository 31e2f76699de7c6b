// Package mesh covers the partition of a board with second-order elements that
// conform along every glue line: 8-node serendipity quadrilaterals where a
// piece has four sides whose divisions can be matched, 6-node triangles
// elsewhere. All element sides are straight and every midside node lies in the
// middle of its side, so two elements with the same corners up to a shift have
// the same stiffness.
//
// Elements are graded towards the ends of every edge of the partition, because
// joints meet there and tractions are steepest there, and the elements at the
// end of a joint are cut towards it (corner.go). Grading, cuts and the default
// sizes are chosen so that halving every element (Options.Refine) changes the
// mean tractions over the few millimetres that joints are judged by within 3 %.
//
// Missing: 1. curved element sides (no piece has curved edges). 2. adaptivity by
// error estimate; the division is fixed by lengths and Options.Refine, so that
// congruent pieces always get congruent meshes.
package mesh

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Options says how fine the mesh is. The zero value is the documented default.
type Options struct {
	First  float64 // mm, aim for the first element at the end of an edge, before it is cut; 0 means 3.5
	Growth float64 // ratio of neighbouring elements; 0 means 1.5
	Most   float64 // mm, largest element along an edge; 0 means 16
	Corner int     // times the elements at the end of a joint are cut towards it; 0 means 2, −1 none
	Refine int     // each step halves every element side
	Bound  int     // most elements; 0 means any number
}

func (o Options) withDefaults() Options {
	if o.First == 0 {
		o.First = 3.5
	}
	if o.Growth == 0 {
		o.Growth = 1.5
	}
	if o.Most == 0 {
		o.Most = 16
	}
	switch o.Corner {
	case 0:
		o.Corner = 2
	case -1:
		o.Corner = 0
	}
	return o
}

// Element is one element: N = 8 (quadrilateral: four corners counter-clockwise,
// then the midsides of sides 0–1, 1–2, 2–3, 3–0) or N = 6 (triangle: three
// corners, then the midsides of 0–1, 1–2, 2–0).
type Element struct {
	N     int
	Nodes [8]int32
	Piece int32
	Cell  int32 // a piece, or the part of a long piece between two opposite breaks
	Shape int32 // equal shapes have equal corners up to a shift
}

// Corners gives the number of corners, 4 or 3.
func (e *Element) Corners() int { return e.N / 2 }

// Side names one side of one element.
type Side struct {
	Element int32
	Side    int8
}

// EdgeMesh is the mesh along one edge of the partition, in the order V0→V1.
type EdgeMesh struct {
	Nodes []int32 // 2n+1 nodes: end, midside, end, …
	Left  []Side  // n sides of elements of the piece on the left; nil on a free side
	Right []Side  // likewise on the right
}

// Mesh is a covering of a board.
type Mesh struct {
	Nodes    []layout.XY
	Elements []Element
	Edges    []EdgeMesh // per edge of the partition
	ByPiece  [][]int32  // elements of each piece
	Cells    int
	Shapes   int
	MinAngle float64 // degrees, the sharpest corner of any element
}

// Build meshes a board. It returns an error naming the piece when a piece
// cannot be covered, a TooMany when the board would take more elements than the
// bound, told before they are made, or the error of the context.
func Build(ctx context.Context, b *layout.Board, opt Options) (*Mesh, error) {
	opt = opt.withDefaults()
	if opt.First < 0 || opt.Growth < 1 || opt.Most <= 0 || opt.Corner < 0 || opt.Corner > 6 || opt.Refine < 0 || opt.Refine > 4 {
		return nil, fmt.Errorf("mesh: options out of range: first %g mm (> 0), growth %g (≥ 1), most %g mm (> 0), corner %d (0 to 6), refine %d (0 to 4)", opt.First, opt.Growth, opt.Most, opt.Corner, opt.Refine)
	}
	w := newWork(b, opt)
	w.findQuads()
	w.matchBreaks()
	stops := w.divideEdges()
	if err := w.count(stops); err != nil {
		return nil, err
	}
	for e := range stops {
		w.placeNodes(e, stops[e])
	}
	for p := range b.Pieces {
		err := ctx.Err()
		switch {
		case err != nil:
		case w.quads[p].ok:
			w.coverQuad(p)
		default:
			err = w.coverPolygon(ctx, p)
		}
		if err == nil {
			err = w.bound(len(w.m.Elements), p, len(w.m.ByPiece[p]))
		}
		if err != nil {
			return nil, err
		}
	}
	for r := 0; r < opt.Refine; r++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		w.halve()
	}
	if err := w.linkEdges(); err != nil {
		return nil, err
	}
	w.m.Shapes = len(w.shapes)
	w.m.MinAngle = w.minAngle()
	return w.m, nil
}

// work is the state of one Build.
type work struct {
	b         *layout.Board
	opt       Options
	m         *Mesh
	quads     []quad
	breaks    [][]float64 // per edge: extra breaks, parameter along V0→V1, sorted
	divisions map[[2]int64][]float64
	vertex    []int32 // node of each vertex of the partition
	shapes    map[shapeKey]int32
	partCount [][]int   // per edge: elements along each part between breaks, before corners are cut
	base      [][]int32 // per edge: its nodes before corners are cut; −1 for the middle of a side that is cut
	levels    []int8    // per vertex: times the elements there are cut
	chains    map[[2]int32][]int32
	polygons  map[string]*triangulation
}

func newWork(b *layout.Board, opt Options) *work {
	w := &work{
		b: b, opt: opt,
		m:         &Mesh{Edges: make([]EdgeMesh, len(b.Partition.Edges)), ByPiece: make([][]int32, len(b.Pieces))},
		quads:     make([]quad, len(b.Pieces)),
		breaks:    make([][]float64, len(b.Partition.Edges)),
		divisions: map[[2]int64][]float64{},
		vertex:    make([]int32, len(b.Partition.Vertices)),
		shapes:    map[shapeKey]int32{},
		partCount: make([][]int, len(b.Partition.Edges)),
		base:      make([][]int32, len(b.Partition.Edges)),
		levels:    make([]int8, len(b.Partition.Vertices)),
		chains:    map[[2]int32][]int32{},
		polygons:  map[string]*triangulation{},
	}
	for i, v := range b.Partition.Vertices {
		w.vertex[i] = int32(i)
		w.m.Nodes = append(w.m.Nodes, v)
	}
	return w
}

func (w *work) node(p layout.XY) int32 {
	w.m.Nodes = append(w.m.Nodes, p)
	return int32(len(w.m.Nodes) - 1)
}

// shapeKey holds the corners of an element relative to its first, in units of
// 1e-6 mm: finer than any length a maker can mean, coarser than round-off.
type shapeKey [7]int64

const shapeUnit = 1e-6 // mm

func (w *work) add(e Element, piece int) {
	nc := e.Corners()
	var k shapeKey
	k[6] = int64(nc)
	o := w.m.Nodes[e.Nodes[0]]
	for c := 1; c < nc; c++ {
		p := w.m.Nodes[e.Nodes[c]]
		k[2*(c-1)] = int64(math.Round((p[0] - o[0]) / shapeUnit))
		k[2*(c-1)+1] = int64(math.Round((p[1] - o[1]) / shapeUnit))
	}
	id, ok := w.shapes[k]
	if !ok {
		id = int32(len(w.shapes))
		w.shapes[k] = id
	}
	e.Shape, e.Piece = id, int32(piece)
	w.m.Elements = append(w.m.Elements, e)
	w.m.ByPiece[piece] = append(w.m.ByPiece[piece], int32(len(w.m.Elements)-1))
}

func mid(a, b layout.XY) layout.XY { return layout.XY{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

func lerp(a, b layout.XY, t float64) layout.XY {
	return layout.XY{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

func dist(a, b layout.XY) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
