package check

import (
	"context"
	"fmt"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// The reference boards: 8×6 and 16×12 blocks, and 30×20 blocks of which a third
// are cut in four triangles; rings all different, or eight kinds of block.
var reference = []struct {
	name  string
	board []byte
}{
	{"B48-different", boardgen.B48(0, 1)},
	{"B48-eight", boardgen.B48(8, 1)},
	{"B192-different", boardgen.B192(0, 1)},
	{"B192-eight", boardgen.B192(8, 1)},
	{"B600-eight", boardgen.B600(8, 1)},
}

// BenchmarkUniform is a whole check of the end states, from the bytes of the file
// to the report, on one core, with the share of every phase in ms.
func BenchmarkUniform(b *testing.B) {
	for _, ref := range reference {
		b.Run(ref.name, func(b *testing.B) {
			var phase [6]time.Duration
			var unknowns, elements int
			for b.Loop() {
				t := time.Now()
				lap := func(i int) { now := time.Now(); phase[i] += now.Sub(t); t = now }
				board, err := layout.Read(ref.board)
				require.NoError(b, err)
				lap(0)
				p, err := translate(board)
				require.NoError(b, err)
				m := &Model{parts: *p}
				m.Mesh, err = mesh.Build(board, mesh.Options{})
				require.NoError(b, err)
				lap(1)
				m.Plate, err = plate.New(context.Background(), board, m.Mesh, m.wood, plate.Options{})
				require.NoError(b, err)
				lap(2)
				amounts := m.unitAmounts()
				m.shift, err = m.Plate.Respond(plate.Membrane, amounts)
				require.NoError(b, err)
				lap(3)
				m.prepareShapes()
				m.preparePatches()
				m.joints = make([]jointModel, len(board.Joints))
				for j := range board.Joints {
					m.prepareJoint(j, amounts)
				}
				lap(4)
				r, err := m.Report(context.Background(), Conditions{Exposures: []string{NoExposures}, NoCracks: true, NoChance: true})
				require.NoError(b, err)
				lap(5)
				unknowns, elements = r.Model.Unknowns, r.Model.Elements
			}
			n := float64(b.N)
			for i, name := range [6]string{"layout", "mesh", "factor", "solve", "joints", "report"} {
				b.ReportMetric(phase[i].Seconds()*1e3/n, name+"-ms")
			}
			b.ReportMetric(float64(unknowns), "unknowns")
			b.ReportMetric(float64(elements), "elements")
			var ms runtime.MemStats
			runtime.ReadMemStats(&ms)
			b.ReportMetric(float64(ms.Sys)/(1<<20), "MB-of-process")
		})
	}
}

// BenchmarkYear is a check with a year and the standard exposures.
func BenchmarkYear(b *testing.B) {
	for _, ref := range reference[:4] {
		board, err := layout.Read(ref.board)
		require.NoError(b, err)
		b.Run(ref.name, func(b *testing.B) {
			m, err := Prepare(context.Background(), board, Conditions{})
			require.NoError(b, err)
			b.ResetTimer()
			for b.Loop() {
				_, err := m.Report(context.Background(), Conditions{NoCracks: true, NoChance: true})
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkWhatIf compares a what-if of moisture on a prepared board, and a what-if
// that turns one block with the clusters of the others kept, with a new check.
func BenchmarkWhatIf(b *testing.B) {
	board, err := layout.Read(boardgen.B192(0, 1))
	require.NoError(b, err)
	none := Conditions{Exposures: []string{NoExposures}, NoCracks: true, NoChance: true}
	b.Run("new-board", func(b *testing.B) {
		for b.Loop() {
			_, err := Board(context.Background(), board, none)
			require.NoError(b, err)
		}
	})
	m, err := Prepare(context.Background(), board, none)
	require.NoError(b, err)
	b.Run("other-moisture", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			c := none
			c.Moistures = []float64{6 + float64(i%5)}
			_, err := m.Report(context.Background(), c)
			require.NoError(b, err)
		}
	})
	b.Run("one-block-turned", func(b *testing.B) {
		c := none
		c.Cache = m.cache
		for i := 0; b.Loop(); i++ {
			ring := float64(i%170) + 0.5
			turned, err := board.WithPiece(97, layout.Edit{RingAngle: &ring})
			require.NoError(b, err)
			_, err = Board(context.Background(), turned, c)
			require.NoError(b, err)
		}
	})
}

// BenchmarkGrowth is a whole check of the end states against the number of
// blocks, all different and of eight kinds.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range [][2]int{{3, 4}, {6, 8}, {12, 16}, {24, 32}, {40, 60}} {
		for _, kinds := range []int{0, 8} {
			name := fmt.Sprintf("%d-blocks/different", size[0]*size[1])
			if kinds > 0 {
				name = fmt.Sprintf("%d-blocks/eight-kinds", size[0]*size[1])
			}
			src := boardgen.Grid(boardgen.Options{Rows: size[0], Cols: size[1], Block: 40, Thickness: 40, Kinds: kinds, Seed: 1, RandomRings: true})
			b.Run(name, func(b *testing.B) {
				for b.Loop() {
					board, err := layout.Read(src)
					require.NoError(b, err)
					_, err = Board(context.Background(), board, Conditions{Exposures: []string{NoExposures}, NoCracks: true, NoChance: true})
					require.NoError(b, err)
				}
			})
		}
	}
}
