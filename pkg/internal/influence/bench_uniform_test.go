package influence

import (
	"context"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// BenchmarkUniform is a whole check of the end states, from the bytes of the file
// to the report, on one core, with the share of every phase in ms.
func BenchmarkUniform(b *testing.B) {
	for _, ref := range boardgen.Reference {
		b.Run(ref.Name, func(b *testing.B) {
			var phase [6]time.Duration
			var unknowns, elements int
			for b.Loop() {
				t := time.Now()
				lap := func(i int) { now := time.Now(); phase[i] += now.Sub(t); t = now }
				board, err := layout.Read(ref.Board)
				require.NoError(b, err)
				lap(0)
				p, err := translate(b.Context(), board, nil)
				require.NoError(b, err)
				m := &Model{Parts: *p}
				m.Mesh, err = mesh.Build(b.Context(), board, mesh.Options{})
				require.NoError(b, err)
				lap(1)
				m.Plate, err = plate.New(context.Background(), board, m.Mesh, m.Wood, plate.Options{})
				require.NoError(b, err)
				lap(2)
				require.NoError(b, m.preparePatches(b.Context()))
				m.Joints = make([]JointModel, len(board.Joints))
				for j := range board.Joints {
					m.prepareJoint(j)
				}
				lap(3)
				require.NoError(b, m.respond(b.Context()))
				lap(4)
				_, err = m.WorstUniform(context.Background(), &Demand{NoHistories: true})
				require.NoError(b, err)
				lap(5)
				unknowns, elements = m.Plate.Unknowns(), len(m.Mesh.Elements)
			}
			n := float64(b.N)
			for i, name := range [6]string{"layout", "mesh", "factor", "joints", "solve", "judge"} {
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
