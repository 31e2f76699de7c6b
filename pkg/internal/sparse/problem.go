package sparse

import (
	"fmt"
	"math"
)

// Problem is a symmetric linear system given by its elements. Unknown c of
// node i has the number i*NodeDof+c.
type Problem struct {
	NodeDof  int          // unknowns per node, at least 1 (2 membrane, 3 bending)
	Coord    [][2]float64 // place of each node, mm; steers the order of elimination only
	Elements []Element
	Fixed    []int // numbers of the unknowns held at zero
}

// Element is one member of the sum that makes the matrix.
type Element struct {
	Nodes []int32 // its nodes, in the order its stiffness matrix has them
	Group int32   // the piece it belongs to; errors name it
	Key   uint64  // equal keys say: equal stiffness matrix, in the element's own node order
}

// Stiffness writes the n×n symmetric matrix of an element row by row into dst,
// n = len(Nodes)*NodeDof. The solvers call it from several goroutines at once,
// and at most once for elements that share a Key and a number of nodes.
type Stiffness func(element int, dst []float64)

// unknowns is the full number of unknowns, the fixed ones included.
func (p *Problem) unknowns() int { return len(p.Coord) * p.NodeDof }

// fixedMask marks the unknowns held at zero.
func (p *Problem) fixedMask() []bool {
	mask := make([]bool, p.unknowns())
	for _, u := range p.Fixed {
		mask[u] = true
	}
	return mask
}

// check refuses a problem that no solver could read: numbers out of range,
// places that are not finite, a node twice in one element, a free unknown that
// no element touches.
func (p *Problem) check() error {
	if p.NodeDof < 1 {
		return fmt.Errorf("sparse: %d unknowns per node: at least 1 is needed", p.NodeDof)
	}
	if len(p.Coord) == 0 || len(p.Elements) == 0 {
		return fmt.Errorf("sparse: %d nodes and %d elements: at least one of each is needed", len(p.Coord), len(p.Elements))
	}
	if int64(len(p.Coord))*int64(p.NodeDof) > math.MaxInt32 {
		return fmt.Errorf("sparse: %d nodes with %d unknowns each exceed the numbers a system can have", len(p.Coord), p.NodeDof)
	}
	for i, c := range p.Coord {
		if !finite(c[0]) || !finite(c[1]) {
			return fmt.Errorf("sparse: node %d lies at (%g, %g), which is no place", i, c[0], c[1])
		}
	}
	for _, u := range p.Fixed {
		if u < 0 || u >= p.unknowns() {
			return fmt.Errorf("sparse: fixed unknown %d: allowed 0 to %d", u, p.unknowns()-1)
		}
	}
	touched := make([]int32, len(p.Coord)) // last element seen at a node, from 1
	for e := range p.Elements {
		nodes := p.Elements[e].Nodes
		if len(nodes) == 0 {
			return fmt.Errorf("sparse: element %d has no nodes", e)
		}
		for _, n := range nodes {
			if n < 0 || int(n) >= len(p.Coord) {
				return fmt.Errorf("sparse: element %d names node %d: allowed 0 to %d", e, n, len(p.Coord)-1)
			}
			if touched[n] == int32(e)+1 {
				return fmt.Errorf("sparse: element %d names node %d twice", e, n)
			}
			touched[n] = int32(e) + 1
		}
	}
	fixed := p.fixedMask()
	for n, t := range touched {
		if t != 0 {
			continue
		}
		for c := range p.NodeDof {
			if !fixed[n*p.NodeDof+c] {
				return &NotPositiveDefinite{Unknown: n*p.NodeDof + c, Group: -1}
			}
		}
	}
	return nil
}

func finite(x float64) bool { return x-x == 0 }

// NotPositiveDefinite says that elimination met a pivot that is not a positive
// number: a piece whose stiffness is not positive definite, a board that is not
// held, or a stiffness that is not a number.
type NotPositiveDefinite struct {
	Unknown int     // number of the unknown whose pivot failed
	Group   int32   // a group that touches the unknown; -1 when no element does
	Pivot   float64 // what the pivot was
}

func (e *NotPositiveDefinite) Error() string {
	if e.Group < 0 {
		return fmt.Sprintf("sparse: not positive definite: no element touches unknown %d", e.Unknown)
	}
	return fmt.Sprintf("sparse: not positive definite at unknown %d, group %d (pivot %.3g)", e.Unknown, e.Group, e.Pivot)
}

// notPositive names the place of a failed pivot: the unknown, and the lowest
// group among the elements that touch it.
func (p *Problem) notPositive(unknown int, pivot float64) error {
	err := &NotPositiveDefinite{Unknown: unknown, Group: -1, Pivot: pivot}
	node := int32(unknown / p.NodeDof)
	for _, el := range p.Elements {
		for _, n := range el.Nodes {
			if n == node && (err.Group < 0 || el.Group < err.Group) {
				err.Group = el.Group
			}
		}
	}
	return err
}
