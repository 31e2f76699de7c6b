package influence

import (
	"context"
	"encoding/binary"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// insideResult is the worst place of the wood away from glue lines.
type insideResult struct {
	U     float64
	Piece int
	At    layout.XY
}

// patch is a square of wood over which stress is averaged: as wide as the averaging
// length, for the same reason as the stretches of a joint.
type patch struct {
	at     layout.XY // from the lower left corner of the piece's own rectangle, mm
	els    []int32   // numbers in the piece's list of elements
	weight []float64 // share of the square that lies in each
}

// preparePatches lays squares over every piece; congruent pieces of one wood
// share them.
func (m *Model) preparePatches(ctx context.Context) error {
	m.patches = make([][]patch, len(m.Board.Pieces))
	known := map[string][]patch{}
	for i := range m.Board.Pieces {
		if err := ctx.Err(); err != nil {
			return err
		}
		d := joint.AveragingLength().V
		key := make([]byte, 0, 512)
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(d))
		for _, e := range m.Mesh.ByPiece[i] {
			key = binary.LittleEndian.AppendUint32(key, uint32(m.Mesh.Elements[e].Shape))
		}
		p, ok := known[string(key)]
		if !ok {
			p = m.patchesOf(i, d)
			known[string(key)] = p
		}
		m.patches[i] = p
	}
	return nil
}

// patchesOf lays one square round the middle of every element, moved so that it
// stays inside the piece's own rectangle. An element larger than the square
// speaks for itself.
func (m *Model) patchesOf(i int, d float64) []patch {
	lo, hi := Bounds(m.Board.Pieces[i].Outline)
	els := m.Mesh.ByPiece[i]
	boxes := make([][2]layout.XY, len(els))
	for k, e := range els {
		boxes[k][0], boxes[k][1] = Bounds(m.corners(e))
	}
	var out []patch
	for k, e := range els {
		c := m.Plate.Centre(int(e))
		if m.Plate.Area(int(e)) >= d*d {
			out = append(out, patch{layout.XY{c[0] - lo[0], c[1] - lo[1]}, []int32{int32(k)}, []float64{1}})
			continue
		}
		for a := range c {
			c[a] = max(lo[a]+d/2, min(hi[a]-d/2, c[a]))
		}
		p := patch{at: layout.XY{c[0] - lo[0], c[1] - lo[1]}}
		if len(out) > 0 && out[len(out)-1].at == p.at {
			continue // moved onto its neighbour's square
		}
		from, to := layout.XY{c[0] - d/2, c[1] - d/2}, layout.XY{c[0] + d/2, c[1] + d/2}
		area := 0.0
		for q, o := range els {
			if boxes[q][0][0] >= to[0] || boxes[q][0][1] >= to[1] || boxes[q][1][0] <= from[0] || boxes[q][1][1] <= from[1] {
				continue
			}
			if w := layout.SharedArea(m.corners(o), []layout.XY{from, {to[0], from[1]}, to, {from[0], to[1]}}); w > 0 {
				p.els, p.weight = append(p.els, int32(q)), append(p.weight, w)
				area += w
			}
		}
		for w := range p.weight {
			p.weight[w] /= area
		}
		out = append(out, p)
	}
	return out
}

func (m *Model) corners(e int32) []layout.XY {
	el := &m.Mesh.Elements[e]
	out := make([]layout.XY, el.Corners())
	for c := range out {
		out[c] = m.Mesh.Nodes[el.Nodes[c]]
	}
	return out
}

// Bounds gives the corners of the rectangle round points.
func Bounds(p []layout.XY) (lo, hi layout.XY) {
	lo, hi = p[0], p[0]
	for _, q := range p[1:] {
		for a := range q {
			lo[a], hi[a] = min(lo[a], q[a]), max(hi[a], q[a])
		}
	}
	return lo, hi
}

// worstInside is the worst place of all pieces.
func worstInside(inside []WoodDemand) (worst insideResult) {
	for i := range inside {
		if w := &inside[i]; verdict.Worse(w.U, worst.U) {
			worst = insideResult{w.U, i, w.At}
		}
	}
	return worst
}

// InsideOf judges the wood of every piece under one load of the membrane, which may be
// that of an end state that was judged: tension across the grain and shear on the planes
// that hold the fibres, averaged over squares of the averaging length, by the law of
// package joint.
func (m *Model) InsideOf(j *Judged, l *Load) []WoodDemand {
	if j != nil {
		for i := range j.States {
			if v := &j.States[i]; v.Load == l && v.inside != nil {
				return v.inside
			}
		}
	}
	return m.woodAt(l)
}

// WoodDemand is the wood of one piece at its worst place.
type WoodDemand struct {
	U         float64
	At        layout.XY
	Along     [2]float64      // of that plane, in the face
	N, T      float64         // MPa on the plane that decides
	Criterion joint.Criterion // of that plane at the moment's moisture
	Mode      [2]string       // what opening and sliding on it are called
}

// atPith is how near to a pith wood is not judged, mm: where rings close up the
// stress of a wood that is stiffer along them than across has no bound, and the wood
// round a pith is not the wood that was tested.
const atPith = 5.0

// stressUnder is the membrane stress of all elements, MPa.
func (m *Model) stressUnder(l *Load) [][3]float64 {
	x := m.Stretched(l)
	sig := make([][3]float64, len(m.Mesh.Elements))
	for i := range m.Board.Pieces {
		for _, e := range m.Mesh.ByPiece[i] {
			sig[e] = m.Plate.Stress(plate.Membrane, int(e), x, m.Of(l.Mean, i))
		}
	}
	m.addLocked(sig, l)
	return sig
}

// stressIn is stressUnder of a few pieces, of which a sum node by node is short.
func (m *Model) stressIn(l *Load, pieces []int) [][3]float64 {
	units := m.units[plate.Membrane]
	if units == nil {
		return m.stressUnder(l)
	}
	return m.stressNear(l, &pieceUnits{units: units}, pieces)
}

// stressNear is the same with what near has of the pieces.
func (m *Model) stressNear(l *Load, near *pieceUnits, pieces []int) [][3]float64 {
	sig := make([][3]float64, len(m.Mesh.Elements))
	for _, i := range pieces {
		change := m.Of(l.Mean, i)
		for _, e := range m.Mesh.ByPiece[i] {
			el := &m.Mesh.Elements[e]
			var v [24]float64
			for a, n := range el.Nodes[:el.N] {
				n := near.at(n)
				for k, f := range l.Mean {
					v[2*a] += f * near.units[k][2*n]
					v[2*a+1] += f * near.units[k][2*n+1]
				}
			}
			sig[e] = m.Plate.StressOf(plate.Membrane, int(e), &v, change)
		}
	}
	m.addLocked(sig, l)
	return sig
}

// WoodOf is the wood of some pieces under loads that differ little: what stress is worked
// out is kept for the next load of the same moistures.
type WoodOf struct {
	m      *Model
	pieces []int
	of     *Load
	sig    [][3]float64
}

// WoodOf makes one of some pieces.
func (m *Model) WoodOf(pieces []int) *WoodOf { return &WoodOf{m: m, pieces: pieces} }

// Worst is the highest utilisation of the wood of the pieces under a load.
func (w *WoodOf) Worst(l *Load) float64 {
	if w.of == nil || !sameSlice(w.of.Mean, l.Mean) || !sameSlice(w.of.Locked, l.Locked) {
		w.of, w.sig = l, w.m.stressIn(l, w.pieces)
	}
	u := 0.0
	for _, i := range w.pieces {
		u = max(u, w.m.woodUnder(w.sig, l, i).U)
	}
	return u
}

// sameSlice tells that two slices are one.
func sameSlice(a, b []float64) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// woodAt finds the worst place of every piece.
func (m *Model) woodAt(l *Load) []WoodDemand {
	sig := m.stressUnder(l)
	out := make([]WoodDemand, len(m.Board.Pieces))
	for i := range m.patches {
		out[i] = m.woodUnder(sig, l, i)
	}
	return out
}

// woodNear finds the worst place of one piece, with what near has of it.
func (m *Model) woodNear(l *Load, near *pieceUnits, piece int) WoodDemand {
	return m.woodUnder(m.stressNear(l, near, []int{piece}), l, piece)
}

// woodUnder finds the worst place of a piece under the stress of its elements [MPa] and
// the strengths of a load.
func (m *Model) woodUnder(sig [][3]float64, l *Load, i int) (out WoodDemand) {
	lo, _ := Bounds(m.Board.Pieces[i].Outline)
	els := m.Mesh.ByPiece[i]
	planes := joint.Planes(m.Sides[i])
	ks := m.strengthOf(l, i)
	for k := range m.patches[i] {
		p := &m.patches[i][k]
		var s [3]float64
		for q, e := range p.els {
			for r := range s {
				s[r] += p.weight[q] * sig[els[e]][r]
			}
		}
		at := layout.XY{lo[0] + p.at[0], lo[1] + p.at[1]}
		if pc := &m.Board.Pieces[i]; pc.Pith != nil {
			if pc.Grain.Up && math.Hypot(at[0]-pc.Pith[0], at[1]-pc.Pith[1]) < atPith {
				continue
			}
			side := m.Sides[i]
			side.Frame = m.Board.Pieces[i].Frame(at)
			planes = joint.Planes(side)
		}
		if u, plane := joint.Split(planes, s, ks.Tension, ks.Shear); verdict.Worse(u, out.U) {
			w := &planes[plane]
			n, t := w.Traction(s)
			out = WoodDemand{U: u, At: at, Along: w.T, N: n, T: t, Criterion: w.Law.Scaled(ks.Tension, ks.Shear), Mode: w.Mode}
		}
	}
	return out
}
