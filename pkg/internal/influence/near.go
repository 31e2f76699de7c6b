package influence

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// pieceUnits is what a sum over the kinds needs about a few pieces: the displacement of the
// membrane [mm] for one per cent of moisture on every kind.
type pieceUnits struct {
	units [][]float64   // per kind, u and v a place
	place map[int32]int // of a node; nil where units have all nodes in their order
}

// at is the place of a node.
func (n *pieceUnits) at(node int32) int {
	if n.place == nil {
		return int(node)
	}
	return n.place[node]
}

// near gives that of some pieces: what is kept, or where that would be pieces squared, what
// the kinds do to the nodes of these pieces, many kinds a solve. To solve for every moment
// of a year instead took two thirds of the check of 1,000 weighed blocks. Errors: the context's.
func (m *Model) near(ctx context.Context, pieces []int) (*pieceUnits, error) {
	if units := m.units[plate.Membrane]; units != nil {
		return &pieceUnits{units: units}, nil
	}
	out := &pieceUnits{place: map[int32]int{}}
	var nodes []int32
	for _, i := range pieces {
		for _, e := range m.Mesh.ByPiece[i] {
			el := &m.Mesh.Elements[e]
			for _, n := range el.Nodes[:el.N] {
				if _, there := out.place[n]; !there {
					out.place[n] = len(nodes)
					nodes = append(nodes, n)
				}
			}
		}
	}
	for from := 0; from < len(m.Kinds); from += sideStep {
		x, err := m.Plate.Respond(ctx, plate.Membrane, m.unitAmounts(from, min(from+sideStep, len(m.Kinds))))
		if err != nil {
			return nil, err
		}
		for _, all := range x {
			few := make([]float64, 2*len(nodes))
			for k, n := range nodes {
				few[2*k], few[2*k+1] = all[2*n], all[2*n+1]
			}
			out.units = append(out.units, few)
		}
	}
	return out, nil
}
