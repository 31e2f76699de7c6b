package plate

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// benchBoard is a board of 16 × 12 blocks whose rings all differ.
func benchBoard(b *testing.B) (*layout.Board, *mesh.Mesh, []Wood) {
	b.Helper()
	board := read(b, string(boardgen.B192(0, 1)))
	m, err := mesh.Build(b.Context(), board, mesh.Options{})
	if err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 2))
	woods := make([]Wood, len(board.Pieces))
	for i := range woods {
		woods[i] = []ugly{maple, walnut}[i%2].at(180 * r.Float64())
	}
	return board, m, woods
}

func benchModel(b *testing.B, bending bool) *Model {
	b.Helper()
	board, m, woods := benchBoard(b)
	p, err := New(context.Background(), board, m, woods, Options{Bending: bending})
	if err != nil {
		b.Fatal(err)
	}
	return p
}

// BenchmarkPrepare times everything before the factorisation: shapes, links,
// keys. What pkg/internal/sparse does is timed there.
func BenchmarkPrepare(b *testing.B) {
	board, m, woods := benchBoard(b)
	b.ReportAllocs()
	for b.Loop() {
		p := &Model{Geometry: newGeometry(board, m, nil), Board: board, Woods: woods, H: board.Thickness}
		_ = p.prepare(b.Context())
		p.Problem(false)
	}
}

// BenchmarkStiffness times the stiffness of every element.
func BenchmarkStiffness(b *testing.B) {
	for _, c := range []struct {
		name string
		mode Mode
	}{{"membrane", Membrane}, {"bending", Bending}} {
		b.Run(c.name, func(b *testing.B) {
			p := benchModel(b, false)
			_, k := p.Problem(c.mode != Membrane)
			dst := make([]float64, 576)
			for b.Loop() {
				for e := range p.Mesh.Elements {
					n := c.mode.dof() * p.Mesh.Elements[e].N
					k(e, dst[:n*n])
				}
			}
		})
	}
}

// BenchmarkNew times the whole model.
func BenchmarkNew(b *testing.B) {
	for _, c := range []struct {
		name    string
		bending bool
	}{{"membrane", false}, {"both", true}} {
		b.Run(c.name, func(b *testing.B) {
			board, m, woods := benchBoard(b)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := New(context.Background(), board, m, woods, Options{Bending: c.bending}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkRespond times loads and solutions of eight kinds of piece.
func BenchmarkRespond(b *testing.B) {
	p := benchModel(b, true)
	amounts := kinds(len(p.Woods), 8)
	for _, c := range []struct {
		name string
		mode Mode
	}{{"membrane", Membrane}, {"bending", Bending}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := p.Respond(b.Context(), c.mode, amounts); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// kinds splits pieces into n kinds with one per cent each.
func kinds(pieces, n int) [][]float64 {
	out := make([][]float64, n)
	for k := range out {
		out[k] = make([]float64, pieces)
		for i := k; i < pieces; i += n {
			out[k][i] = 1
		}
	}
	return out
}

// BenchmarkTrace times the preparation of all joints.
func BenchmarkTrace(b *testing.B) {
	p := benchModel(b, false)
	b.ReportAllocs()
	for b.Loop() {
		for j := range p.Board.Joints {
			p.Trace(j)
		}
	}
}

// BenchmarkForces times the recovery of all joints for eight kinds.
func BenchmarkForces(b *testing.B) {
	for _, c := range []struct {
		name string
		mode Mode
	}{{"membrane", Membrane}, {"bending", Bending}} {
		b.Run(c.name, func(b *testing.B) {
			p := benchModel(b, true)
			amounts := kinds(len(p.Woods), 8)
			xs, err := p.Respond(b.Context(), c.mode, amounts)
			if err != nil {
				b.Fatal(err)
			}
			traces := make([]*Trace, len(p.Board.Joints))
			for j := range traces {
				traces[j] = p.Trace(j)
			}
			b.ReportAllocs()
			for b.Loop() {
				for j := range traces {
					p.Forces(c.mode, traces[j], xs, amounts)
				}
			}
		})
	}
}

// BenchmarkInfluences times the adjoint of eight quantities.
func BenchmarkInfluences(b *testing.B) {
	p := benchModel(b, false)
	var qs []Weights
	for j := 0; j < 8; j++ {
		qs = append(qs, quantity(p.Trace(j*40), uint64(j)))
	}
	for b.Loop() {
		if _, err := p.Influences(b.Context(), Membrane, qs); err != nil {
			b.Fatal(err)
		}
	}
}
