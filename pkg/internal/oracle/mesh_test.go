package oracle

import (
	"bufio"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func area(c []Vec2) (sum float64) {
	for k := range c {
		p, q := edge(c, k)
		sum += p.cross(q) / 2
	}
	return sum
}

// Elements fill their pieces, turn the right way round, and meet node to node
// along every joint.
func TestMeshFillsAndConforms(t *testing.T) {
	decks, err := Boards()
	require.NoError(t, err)
	for _, d := range decks {
		m, err := newMesh(d, Level{N: 3, Graded: 2, Ratio: 1.8}, false)
		require.NoError(t, err)
		covered := make([]float64, len(d.Pieces))
		for _, e := range m.elems {
			var c []Vec2
			for _, n := range e.node[:4] {
				c = append(c, m.place[n])
			}
			a := area(c)
			require.Greater(t, a, 0.0, d.Name)
			covered[e.piece] += a
		}
		for i, p := range d.Pieces {
			assert.InEpsilon(t, area(p.Corners), covered[i], 1e-9, "mm² of %s %s", d.Name, p.ID)
		}
		on := func(j Joint, piece int) map[int64]bool { // ends of element edges, in 10⁻⁴ mm from From
			at := map[int64]bool{}
			for _, s := range m.sides(j, piece) {
				at[int64(math.Round(s.s0*1e4))], at[int64(math.Round(s.s1*1e4))] = true, true
			}
			return at
		}
		for _, j := range d.Joints {
			a := on(j, j.A)
			assert.Greater(t, len(a), 2)
			assert.Equal(t, a, on(j, j.B), "%s: %v", d.Name, j)
		}
	}
}

// The glue lines of a brick pattern, counted by hand: 2 + 3 + 2 upright ones in
// rows of 3, 4 and 3 bricks, and six contacts between each two rows.
func TestJointsOfBricks(t *testing.T) {
	joints := findJoints(brick())
	assert.Len(t, joints, 2+3+2+6+6)
	for _, j := range joints {
		assert.Contains(t, []float64{20, 30}, j.To.minus(j.From).norm(), "mm")
	}
}

// A piece with T-junctions on one side only is cut square to that side.
func TestCutsAtTJunctions(t *testing.T) {
	d := &Deck{Name: "T", Pieces: []Piece{
		endGrain("a", "sugar-maple", 0, 8, 11, rect(0, 0, 30, 20)...),
		endGrain("b", "sugar-maple", 0, 8, 11, rect(30, 0, 70, 20)...),
		endGrain("c", "sugar-maple", 0, 8, 11, Vec2{0, 20}, Vec2{70, 20}, Vec2{60, 45}, Vec2{5, 45}),
	}}
	cs, err := d.cells()
	require.NoError(t, err)
	require.Len(t, cs, 4)
	assert.InDelta(t, area(d.Pieces[2].Corners), area(cs[2].corners)+area(cs[3].corners), 1e-9)
	for _, c := range cs[2:] {
		met := false
		for _, p := range c.corners {
			met = met || p.minus(Vec2{30, 45}).norm() < near
		}
		assert.True(t, met, "%v has no corner at 30, 45", c.corners)
	}
}

func TestRefusesHollowPieces(t *testing.T) {
	d := &Deck{Name: "hollow", Pieces: []Piece{endGrain("a", "sugar-maple", 0, 8, 11, Vec2{0, 0}, Vec2{40, 0}, Vec2{10, 10}, Vec2{0, 40})}}
	assert.ErrorContains(t, d.finish(), "not convex")
}

func TestReadsResultTables(t *testing.T) {
	const good = `
 displacements (vx,vy,vz) for set POINTS and time  0.1000000E+01

         3  1.0E-01 -2.0E-02  0.0E+00

 stresses (elem, integ.pnt.,sxx,syy,szz,sxy,sxz,syz) for set BESIDE and time  0.1000000E+01

         7   1  1.0E+00  2.0E+00  0.0E+00  4.0E+00  0.0E+00  0.0E+00
         7   2  1.5E+00  2.5E+00  0.0E+00  4.5E+00  0.0E+00  0.0E+00
`
	r, err := readTables(bufio.NewScanner(strings.NewReader(good)))
	require.NoError(t, err)
	assert.Equal(t, [3]float64{0.1, -0.02, 0}, r.displacement[3])
	assert.Equal(t, [][6]float64{{1, 2, 0, 4, 0, 0}, {1.5, 2.5, 0, 4.5, 0, 0}}, r.stress[7])
	for _, bad := range []string{"-2.0E-0x", "NaN"} {
		_, err = readTables(bufio.NewScanner(strings.NewReader(strings.Replace(good, "-2.0E-02", bad, 1))))
		assert.ErrorContains(t, err, bad)
	}
	_, err = readTables(bufio.NewScanner(strings.NewReader(" temperatures for set ALL\n\n 1 2.0\n")))
	assert.ErrorContains(t, err, "unexpected line")
}

func TestNoSolverIsSaid(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	_, err := Version()
	assert.ErrorIs(t, err, ErrNoSolver)
	_, err = solve(nil)
	assert.ErrorIs(t, err, ErrNoSolver)
}
