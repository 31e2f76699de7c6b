package deck

import (
	"bufio"
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

var update = flag.Bool("update", false, "write the golden deck anew")

const twoBlocks = `{"tanrad": 1, "name": "two blocks and a strip", "units": "mm", "thickness": 30,
	"stock": {"M": {"species": "sugar-maple", "ring_angle": 30, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": 90, "moisture": 8}},
	"field": {"grid": {"block": [40, 40], "rows": ["MW"]}},
	"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["bottom"]}]}`

// coarse is a model with few elements, so that its deck can be read whole.
func coarse(t *testing.T, src string) *plate.Model {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	fine, err := influence.Prepare(context.Background(), b, influence.Options{})
	require.NoError(t, err)
	m, err := mesh.Build(t.Context(), b, mesh.Options{First: 40, Most: 40, Corner: -1})
	require.NoError(t, err)
	p, err := plate.New(context.Background(), b, m, fine.Plate.Woods, plate.Options{})
	require.NoError(t, err)
	return p
}

func deckOf(t *testing.T, p *plate.Model, c Case) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, p, c))
	return out.String()
}

func shifted(t *testing.T, b *layout.Board, change float64) Case {
	t.Helper()
	c, err := Shift(b, change)
	require.NoError(t, err)
	return c
}

// What a check refuses or caps is refused or capped in the deck: wood swells no
// further above fibre saturation and holds no less than no water.
func TestShiftsStayWithinWhatWoodHolds(t *testing.T) {
	b, err := layout.Read([]byte(twoBlocks))
	require.NoError(t, err)
	c := shifted(t, b, 30)
	assert.InDelta(t, 30-7.5, c.Change[0], 1e-12)
	assert.InDelta(t, 30-8, c.Change[1], 1e-12)
	_, err = Shift(b, -8)
	var f fault.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, "/change", f.Pointer)
	wet, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"honduran-mahogany","ring_angle":0,"moisture":25}},"field":{"grid":{"block":[40,40],"rows":["AA"]}}}`))
	require.NoError(t, err)
	assert.InDelta(t, 20-22, shifted(t, wet, -5).Change[0], 1e-12, "only what lies below saturation, 22 %% in this wood")
}

func TestGoldenDeck(t *testing.T) {
	p := coarse(t, twoBlocks)
	got := deckOf(t, p, shifted(t, p.Board, -3))
	file := filepath.Join("..", "..", "testdata", "golden", "two-blocks.inp")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(want), "\n"), strings.Split(got, "\n"))
}

// What CalculiX answers to the golden deck is what the plate answers: all of its
// elements are rectangles. The other boards: go test -tags ccx -run Live.
func TestGoldenDeckRuns(t *testing.T) {
	if _, err := exec.LookPath("ccx"); err != nil {
		t.Skip("ccx is not on the path")
	}
	p := coarse(t, twoBlocks)
	c := shifted(t, p.Board, -3)
	x, err := p.Respond(t.Context(), plate.Membrane, [][]float64{c.Change})
	require.NoError(t, err)
	u := solve(t, []byte(deckOf(t, p, c)), len(p.Mesh.Nodes))
	assert.Less(t, apart(x[0], u), 1e-6, "of the largest displacement: CalculiX prints seven digits")
}

// CalculiX reads 132 letters a line and 20 a field, and 16 fields of a data line.
func TestLinesFitTheReader(t *testing.T) {
	for _, name := range []string{"pith-in-strip", "tiles", "border-mitre"} {
		m := prepared(t, name)
		s := bufio.NewScanner(strings.NewReader(deckOf(t, m.Plate, shifted(t, m.Plate.Board, 2.5))))
		for s.Scan() {
			line := s.Text()
			assert.LessOrEqual(t, len(line), 132, line)
			if strings.HasPrefix(line, "*") {
				continue
			}
			fields := strings.Split(line, ",")
			assert.LessOrEqual(t, len(fields), 16, line)
			for _, f := range fields {
				assert.LessOrEqual(t, len(strings.TrimSpace(f)), 20, line)
			}
		}
	}
}

// Plane stress rebuilt from the engineering constants of the deck, in board
// axes, is the plate's own stiffness; so is the free strain.
func TestConstantsGiveThePlateBack(t *testing.T) {
	for _, file := range []string{"pith-in-strip", "pith-below-strip", "border-mitre", "chevrons", "long-grain-planks"} {
		m := prepared(t, file)
		for i := range m.Plate.Board.Pieces {
			pc := &m.Plate.Board.Pieces[i]
			w, at := m.Plate.Woods[i], layout.XY{pc.Centre[0] + 3.7, pc.Centre[1] - 1.9}
			if w.At != nil {
				w = w.At(at)
			}
			k, a, err := turned(pc, w, at)
			require.NoError(t, err)
			for _, v := range []float64{k.e1, k.e2, k.e3, k.g12, k.g13, k.g23} {
				assert.Greater(t, v, 0.0)
			}
			d := 1 - k.nu12*k.nu12*k.e2/k.e1
			local := [3][3]float64{{k.e1 / d, k.nu12 * k.e2 / d, 0}, {k.nu12 * k.e2 / d, k.e2 / d, 0}, {0, 0, k.g12}}
			back := turnStiffness(local, [2]float64{a[0], -a[1]})
			unit := turnStrain([3]float64{k.swell[0], k.swell[1], 0}, [2]float64{a[0], -a[1]})
			for r := range back {
				for c := range back {
					assert.InDelta(t, w.Q[r][c], back[r][c], 1e-9*k.e1, "MPa, round-off: %s", pc.ID)
				}
				assert.InDelta(t, w.Unit[r], unit[r], 1e-15, "%s", pc.ID)
			}
		}
	}
}

// A piece that is not orthotropic in its own axes is refused, not rounded.
func TestRefusesWhatIsNotOrthotropic(t *testing.T) {
	p := coarse(t, twoBlocks)
	p.Woods = append([]plate.Wood{}, p.Woods...)
	p.Woods[1].Q[0][2] += 5
	p.Woods[1].Q[2][0] += 5
	assert.ErrorContains(t, Write(&bytes.Buffer{}, p, shifted(t, p.Board, 1)), "r1c2")
	assert.ErrorContains(t, Write(&bytes.Buffer{}, p, Case{Change: []float64{1}}), "1 changes for 3 pieces")
}

func TestStatesAreThoseOfTheReport(t *testing.T) {
	m := prepared(t, "border-two-stage")
	r, err := check.Board(context.Background(), m.Board, check.Conditions{NoHistories: true, NoCracks: true})
	require.NoError(t, err)
	for k, name := range States() {
		c, err := AtState(m, nil, name)
		require.NoError(t, err)
		x, err := m.Plate.Respond(t.Context(), plate.Membrane, [][]float64{c.Change})
		require.NoError(t, err)
		mv := m.Plate.MeanStrain(x[0])
		assert.InDelta(t, r.States[k].Width, mv.Width, 1e-9, "mm, round-off")
		assert.Equal(t, r.States[k].Text, c.Text)
	}
	_, err = AtState(m, nil, "driest-mouth")
	var f fault.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, []string{"driest-month"}, f.Nearest)
}

// The matrix has as many rows as the membrane has free unknowns, and its
// diagonal is positive.
func TestMatrixIsTheSystem(t *testing.T) {
	p := coarse(t, twoBlocks)
	var out bytes.Buffer
	require.NoError(t, WriteMatrix(&out, p, false))
	s := bufio.NewScanner(&out)
	require.True(t, s.Scan())
	assert.Equal(t, "%%MatrixMarket matrix coordinate real symmetric", s.Text())
	require.True(t, s.Scan())
	var rows, columns, entries, diagonal int
	var row, column int
	var v float64
	scan(t, s.Text(), &rows, &columns, &entries)
	assert.Equal(t, 2*len(p.Mesh.Nodes)-3, rows)
	seen := 0
	for ; s.Scan(); seen++ {
		scan(t, s.Text(), &row, &column, &v)
		assert.False(t, math.IsNaN(v))
		if row == column {
			assert.Greater(t, v, 0.0)
			diagonal++
		}
	}
	assert.Equal(t, entries, seen)
	assert.Equal(t, rows, diagonal)
}

func scan(t *testing.T, line string, into ...any) {
	t.Helper()
	n, err := fmt.Sscan(line, into...)
	require.NoError(t, err)
	require.Equal(t, len(into), n)
}
