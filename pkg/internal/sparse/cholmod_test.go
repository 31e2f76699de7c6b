//go:build unix

package sparse

import (
	"context"
	"io"
	"slices"
	"testing"
	"time"

	"github.com/tanrad/tanrad/pkg/internal/cholmod"
)

// BenchmarkAgainstCholmod times both solvers on the same systems in the same
// run, one core each, analysis, factorisation and eight right-hand sides
// together, and reports how many times faster FactorTree is than the best
// ordering of the outside solver: by the clock, and by processor time (all of
// this process, the garbage collector included). Not timed on either side:
// element stiffness, assembly, reading the file.
func BenchmarkAgainstCholmod(b *testing.B) {
	bin := cholmod.Build(b, "../../../testdata/cholmod/bench.c")
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			k = remembered(p, k)
			load, x := sides(p, 8, 1), sides(p, 8, 1)
			var rounds, factor, solve, outside, outsideCPU []float64
			cpu := 0.0
			for b.Loop() {
				begin, beginCPU := time.Now(), cholmod.ProcessorTime()
				f, err := FactorTree(context.Background(), p, k, Options{})
				if err != nil {
					b.Fatal(err)
				}
				middle := time.Now()
				if err := f.Solve(b.Context(), x, load); err != nil {
					b.Fatal(err)
				}
				end := time.Now()
				cpu += cholmod.ProcessorTime() - beginCPU
				release(f)
				factor = append(factor, float64(middle.Sub(begin)))
				solve = append(solve, float64(end.Sub(middle)))
				rounds = append(rounds, float64(end.Sub(begin)))
				if len(rounds)%5 != 1 {
					continue
				}
				b.StopTimer() // interleaved, so that both meet the same disturbances
				best, bestCPU := cholmod.Best(cholmod.Run(b, bin, func(w io.Writer) error { return WriteMatrixMarket(w, p, k) }, 8, 3))
				outside, outsideCPU = append(outside, best), append(outsideCPU, bestCPU)
				b.StartTimer()
			}
			b.ReportMetric(middleOf(factor)/1e6, "factor-ms")
			b.ReportMetric(middleOf(solve)/1e6, "solve8-ms")
			b.ReportMetric(middleOf(outside)/1e6, "cholmod-ms")
			b.ReportMetric(middleOf(outside)/middleOf(rounds), "times-faster")
			b.ReportMetric(middleOf(outsideCPU)/(cpu/float64(len(rounds))), "times-less-cpu")
		})
	}
}

func middleOf(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}
