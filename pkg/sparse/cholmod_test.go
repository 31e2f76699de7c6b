//go:build unix

package sparse

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// cholmodTimes is one line of the baseline tool, times in ns.
type cholmodTimes struct {
	name                      string
	analyse, factorise, solve float64
	cpu                       float64 // processor time of all three
	nonZeros, flops           float64
}

func (c cholmodTimes) total() float64 { return c.analyse + c.factorise + c.solve }

// buildCholmod compiles the baseline tool, or skips where it cannot be built.
func buildCholmod(tb testing.TB) string {
	cc, err := exec.LookPath("cc")
	if err != nil {
		tb.Skip("no C compiler")
	}
	bin := filepath.Join(tb.TempDir(), "bench")
	out, err := exec.Command(cc, "-O2", "-o", bin, "../../testdata/cholmod/bench.c",
		"-I/usr/include/suitesparse", "-lcholmod", "-lopenblas", "-lm").CombinedOutput()
	if err != nil {
		tb.Skipf("SuiteSparse or OpenBLAS is absent: %s", out)
	}
	return bin
}

// runCholmod times the outside solver on the system, one thread.
func runCholmod(tb testing.TB, bin string, p *Problem, k Stiffness, nrhs, repeats int, names ...string) []cholmodTimes {
	file := filepath.Join(tb.TempDir(), "system.mtx")
	out, err := os.Create(file)
	if err != nil {
		tb.Fatal(err)
	}
	if err := WriteMatrixMarket(out, p, k); err != nil {
		tb.Fatal(err)
	}
	if err := out.Close(); err != nil {
		tb.Fatal(err)
	}
	cmd := exec.CommandContext(context.Background(), bin, append([]string{file, strconv.Itoa(nrhs), strconv.Itoa(repeats)}, names...)...)
	cmd.Env = append(os.Environ(), "OPENBLAS_NUM_THREADS=1", "OMP_NUM_THREADS=1")
	var stdout bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		tb.Fatal(err)
	}
	var times []cholmodTimes
	for line := range strings.Lines(stdout.String()) {
		var c cholmodTimes
		if _, err := fmt.Sscan(line, &c.name, &c.analyse, &c.factorise, &c.solve, &c.cpu, &c.nonZeros, &c.flops); err != nil {
			tb.Fatalf("baseline printed %q: %v", line, err)
		}
		times = append(times, c)
	}
	return times
}

// BenchmarkAgainstCholmod times both solvers on the same systems in the same
// run, one core each, analysis, factorisation and eight right-hand sides
// together, and reports how many times faster FactorTree is than the best
// ordering of the outside solver: by the clock, and by processor time (all of
// this process, the garbage collector included). Not timed on either side:
// element stiffness, assembly, reading the file.
func BenchmarkAgainstCholmod(b *testing.B) {
	bin := buildCholmod(b)
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			k = remembered(p, k)
			load, x := sides(p, 8, 1), sides(p, 8, 1)
			var rounds, factor, solve, outside, outsideCPU []float64
			cpu := 0.0
			for b.Loop() {
				begin, beginCPU := time.Now(), processorTime()
				f, err := FactorTree(context.Background(), p, k, Options{})
				if err != nil {
					b.Fatal(err)
				}
				middle := time.Now()
				if err := f.Solve(x, load); err != nil {
					b.Fatal(err)
				}
				end := time.Now()
				cpu += processorTime() - beginCPU
				f.(Releaser).Release()
				factor = append(factor, float64(middle.Sub(begin)))
				solve = append(solve, float64(end.Sub(middle)))
				rounds = append(rounds, float64(end.Sub(begin)))
				if len(rounds)%5 != 1 {
					continue
				}
				b.StopTimer() // interleaved, so that both meet the same disturbances
				best, bestCPU := math.Inf(1), math.Inf(1)
				for _, t := range runCholmod(b, bin, p, k, 8, 3) {
					best, bestCPU = min(best, t.total()), min(bestCPU, t.cpu)
				}
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

// processorTime is that of the whole process so far, ns.
func processorTime() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano() + u.Stime.Nano())
}

func middleOf(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}
