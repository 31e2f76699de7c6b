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
// meet the same disturbances: rounds are interleaved, medians compared. Judged in its end
// states by stress alone, as while a finger moves, and by cracks, as every verdict is; and
// by cracks through ordinary use and the mishaps, which is all of a check and bends too.
func BenchmarkCheckAgainstCholmod(b *testing.B) {
	bin := cholmod.Build(b, "../../testdata/cholmod/bench.c")
	ways := []struct {
		name string
		c    Conditions
	}{
		{"stress", Conditions{ByStress: true, NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true}},
		{"cracks", Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true}},
		{"cracks-in-use", Conditions{}},
	}
	for i := range len(ways) * len(boardgen.Reference) {
		ref, way := boardgen.Reference[i/len(ways)], ways[i%len(ways)]
		c := way.c
		b.Run(ref.Name+"/by-"+way.name, func(b *testing.B) {
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
