//go:build ccx

package deck

import (
	"bytes"
	"math"
	"os/exec"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Agreement of displacements with CalculiX, relative to the largest.
const (
	// Same elements: CalculiX prints seven digits.
	sameElements = 1e-6
	// Quadrilaterals that are no parallelograms stand at the ends of most joints.
	// Tanrad's represent all quadratics, CPS8 does not, so these differ by the
	// error of that element; a third of it is spare.
	otherElements = 5e-4
	// Rings about a pith turn inside an element here and from element to element
	// in the deck. Where the pith lies inside a piece they turn all round within
	// one element, however small it is: 1.2 % at the nodes beside it.
	turningRings = 2e-2
)

// parallelograms tells whether every quadrilateral is one, so that CalculiX has
// the same elements to the last digit.
func parallelograms(m *mesh.Mesh) bool {
	for i := range m.Elements {
		e := &m.Elements[i]
		if e.N != 8 {
			continue
		}
		c := cornersOf(m, e)
		skew := math.Hypot(c[0][0]-c[1][0]+c[2][0]-c[3][0], c[0][1]-c[1][1]+c[2][1]-c[3][1])
		if skew > 1e-6*math.Hypot(c[2][0]-c[0][0], c[2][1]-c[0][1]) {
			return false
		}
	}
	return true
}

func cornersOf(m *mesh.Mesh, e *mesh.Element) []layout.XY {
	c := make([]layout.XY, e.Corners())
	for k := range c {
		c[k] = m.Nodes[e.Nodes[k]]
	}
	return c
}

// byElement makes the rings of a piece those of the middle of each element, as
// the deck has them.
func byElement(m *mesh.Mesh, piece int, at func(layout.XY) plate.Wood) func(layout.XY) plate.Wood {
	return func(p layout.XY) plate.Wood {
		for _, i := range m.ByPiece[piece] {
			c := cornersOf(m, &m.Elements[i])
			inside, middle := true, layout.XY{}
			for k := range c {
				n := c[(k+1)%len(c)]
				inside = inside && (n[0]-c[k][0])*(p[1]-c[k][1]) > (n[1]-c[k][1])*(p[0]-c[k][0])
				middle[0] += c[k][0] / float64(len(c))
				middle[1] += c[k][1] / float64(len(c))
			}
			if inside {
				return at(middle)
			}
		}
		panic("a point of integration lies in no element")
	}
}

// quickBoards are those that are run unless the long form is asked for: the smallest
// with what a deck may hold — triangles and hexagons, a border glued in one go and one
// glued on after a rest, rings about a pith, a field built of sticks.
var quickBoards = []string{"border-after-rest", "build-sails", "hexagons", "pith-below-strip", "tiles"}

func needsCCX(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("ccx"); err != nil {
		t.Skip("ccx is not on the path")
	}
}

// eachBoard runs a test on the kept boards, each under its own name, so that
// -run 'Live.*/tiles' chooses one; with TANRAD_LONG=1 on all of them. It tells whether
// none was left out.
func eachBoard(t *testing.T, test func(t *testing.T, m *influence.Model)) (all bool) {
	t.Helper()
	needsCCX(t)
	names, ran := boardtest.Names(t), 0
	for _, name := range names {
		if !boardtest.Long() && !slices.Contains(quickBoards, name) {
			continue
		}
		t.Run(name, func(t *testing.T) {
			ran++
			test(t, prepared(t, name))
		})
	}
	return ran == len(names)
}

// compare runs the deck of a model for a case and gives the largest difference.
func compare(t *testing.T, p *plate.Model, c Case) float64 {
	t.Helper()
	var inp bytes.Buffer
	require.NoError(t, Write(&inp, p, c))
	x, err := p.Respond(t.Context(), plate.Membrane, [][]float64{c.Change})
	require.NoError(t, err)
	return apart(x[0], solve(t, inp.Bytes(), len(p.Mesh.Nodes)))
}

// TestLiveSameElements meshes kept boards without the cuts at the ends of joints,
// which leaves parallelograms and triangles on nearly all of them, and takes curved
// rings by element. Then CalculiX solves the very same equations, and every digit it
// prints must agree.
func TestLiveSameElements(t *testing.T) {
	compared, other := 0, 0
	all := eachBoard(t, func(t *testing.T, solved *influence.Model) {
		b := solved.Plate.Board
		m, err := mesh.Build(t.Context(), b, mesh.Options{Corner: -1})
		require.NoError(t, err)
		if !parallelograms(m) {
			t.Log("has quadrilaterals that are no parallelograms")
			other++
			return
		}
		woods := slices.Clone(solved.Plate.Woods)
		for i := range woods {
			if woods[i].At != nil {
				woods[i].At = byElement(m, i, woods[i].At)
			}
		}
		p, err := plate.New(t.Context(), b, m, woods, plate.Options{})
		require.NoError(t, err)
		c := shifted(t, b, 0)
		for i := range c.Change { // every piece by an amount of its own
			c.Change[i] = 2.3 - 0.7*float64(i%5)
		}
		got := compare(t, p, c)
		t.Logf("%6d nodes: displacements differ by %.1e", len(m.Nodes), got)
		assert.Less(t, got, sameElements)
		compared++
	})
	t.Logf("boards compared %d, with other elements %d", compared, other)
	if all {
		assert.GreaterOrEqual(t, compared, 12)
	}
}

// TestLiveExportedModel runs the deck as tanrad export writes it and holds every node
// against the plate.
func TestLiveExportedModel(t *testing.T) {
	eachBoard(t, func(t *testing.T, m *influence.Model) {
		c, err := AtState(m, nil, "driest-month")
		require.NoError(t, err)
		got := compare(t, m.Plate, c)
		limit := otherElements
		if parallelograms(m.Mesh) {
			limit = sameElements
		}
		for i := range m.Plate.Woods {
			if m.Plate.Woods[i].At != nil {
				limit = turningRings
			}
		}
		t.Logf("%6d nodes: displacements differ by %.1e (limit %.0e)", len(m.Mesh.Nodes), got, limit)
		assert.Less(t, got, limit)
	})
}

// TestLiveDifferencesShrink halves the elements: what the two programs differ by
// is the error of the mesh, not another model. Other elements: 11 times less;
// rings about a pith outside the piece: 3.7 times.
func TestLiveDifferencesShrink(t *testing.T) {
	needsCCX(t)
	for name, least := range map[string]float64{"border-two-stage": 6, "pith-below-strip": 3} {
		var got [2]float64
		for refine := range got {
			m := refined(t, name, refine)
			c, err := AtState(m, nil, "driest-month")
			require.NoError(t, err)
			got[refine] = compare(t, m.Plate, c)
		}
		t.Logf("%-22s %.1e, halved %.1e", name, got[0], got[1])
		assert.Greater(t, got[0], least*got[1], name)
	}
}
