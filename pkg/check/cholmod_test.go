//go:build unix

package check

import (
	"context"
	"io"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/cholmod"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// BenchmarkCheckAgainstCholmod times a whole check (file to verdict, mesh and
// joints included, one core) and, in the same run, the outside solver's
// analysis, factorisation and solution of the very system that the check
// solves, with as many right-hand sides as there are kinds of piece. The two
// meet the same disturbances: rounds are interleaved, medians compared. Judged by
// stress alone, as while a finger moves, and by cracks, as every verdict is.
func BenchmarkCheckAgainstCholmod(b *testing.B) {
	bin := cholmod.Build(b, "../../testdata/cholmod/bench.c")
	settled := Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true}
	for i := range 2 * len(boardgen.Reference) {
		ref, c, by := boardgen.Reference[i/2], settled, "cracks"
		if c.ByStress = i%2 == 0; c.ByStress {
			by = "stress"
		}
		b.Run(ref.Name+"/by-"+by, func(b *testing.B) {
			board, err := layout.Read(ref.Board)
			require.NoError(b, err)
			m, err := influence.Prepare(context.Background(), board, c.Solving())
			require.NoError(b, err)
			p, k := m.Plate.Problem(false)
			write := func(w io.Writer) error { return sparse.WriteMatrixMarket(w, p, k) }
			var ours, outside, outsideCPU []float64
			cpu := 0.0
			for b.Loop() {
				begin, beginCPU := time.Now(), cholmod.ProcessorTime()
				board, err := layout.Read(ref.Board)
				require.NoError(b, err)
				_, err = Board(context.Background(), board, c)
				require.NoError(b, err)
				cpu += cholmod.ProcessorTime() - beginCPU
				ours = append(ours, float64(time.Since(begin)))
				if len(ours)%5 != 1 {
					continue
				}
				b.StopTimer()
				clock, used := cholmod.Best(cholmod.Run(b, bin, write, len(m.Kinds), 3))
				outside, outsideCPU = append(outside, clock), append(outsideCPU, used)
				b.StartTimer()
			}
			middle := func(x []float64) float64 { slices.Sort(x); return x[len(x)/2] }
			b.ReportMetric(middle(ours)/1e6, "check-ms")
			b.ReportMetric(middle(outside)/1e6, "cholmod-ms")
			b.ReportMetric(middle(outside)/middle(ours), "times-faster")
			b.ReportMetric(middle(outsideCPU)/(cpu/float64(len(ours))), "times-less-cpu")
		})
	}
}
