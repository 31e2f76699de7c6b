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
	"testing"
	"time"
)

// cholmodTimes is one line of the baseline tool, times in ns.
type cholmodTimes struct {
	name                      string
	analyse, factorise, solve float64
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
		if _, err := fmt.Sscan(line, &c.name, &c.analyse, &c.factorise, &c.solve, &c.nonZeros, &c.flops); err != nil {
			tb.Fatalf("baseline printed %q: %v", line, err)
		}
		times = append(times, c)
	}
	return times
}

// benchCase is a board with a name.
type benchCase struct {
	name string
	b    board
}

func benchCases() []benchCase {
	pick := make([]int, 4096)
	rng := random(1)
	for i := range pick {
		pick[i] = rng.IntN(8)
	}
	eight := func(c, r, q int) int { return pick[(r*30+c)*4+q] }
	different := func(c, r, q int) int { return (r*30+c)*4 + q }
	pattern := func(c, r, q int) int { return (c%4 + 3*(r%2)) % 8 }
	third := func(c, r int) bool { return (c+r)%3 == 0 }
	return []benchCase{
		{"B192/different/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: different}},
		{"B192/different/mesh6", board{cols: 16, rows: 12, side: 40, mesh: 6, kind: different}},
		{"B192/eight-random/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: eight}},
		{"B192/eight-random/mesh6", board{cols: 16, rows: 12, side: 40, mesh: 6, kind: eight}},
		{"B192/eight-pattern/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: pattern}},
		{"B600/eight-quartered/mesh6", board{cols: 30, rows: 20, side: 40, mesh: 6, kind: eight, quartered: third}},
	}
}

// BenchmarkAgainstCholmod times both solvers on the same systems in the same
// run, one core each, analysis, factorisation and eight right-hand sides
// together, and reports how many times faster FactorTree is than the best
// ordering of the outside solver. Not timed on either side: element stiffness,
// assembly, reading the file.
func BenchmarkAgainstCholmod(b *testing.B) {
	bin := buildCholmod(b)
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			k = remembered(p, k)
			load, x := sides(p, 8, 1), sides(p, 8, 1)
			var rounds, factor, solve, outside []float64
			for b.Loop() {
				begin := time.Now()
				f, err := FactorTree(context.Background(), p, k, Options{})
				if err != nil {
					b.Fatal(err)
				}
				middle := time.Now()
				if err := f.Solve(x, load); err != nil {
					b.Fatal(err)
				}
				factor = append(factor, float64(middle.Sub(begin)))
				solve = append(solve, float64(time.Since(middle)))
				rounds = append(rounds, factor[len(factor)-1]+solve[len(solve)-1])
				if len(rounds)%5 == 1 { // interleaved, so that both meet the same disturbances
					best := math.Inf(1)
					b.StopTimer()
					for _, t := range runCholmod(b, bin, p, k, 8, 3) {
						best = min(best, t.total())
					}
					b.StartTimer()
					outside = append(outside, best)
				}
			}
			ours, theirs := middleOf(rounds), middleOf(outside)
			b.ReportMetric(middleOf(factor)/1e6, "factor-ms")
			b.ReportMetric(middleOf(solve)/1e6, "solve8-ms")
			b.ReportMetric(theirs/1e6, "cholmod-ms")
			b.ReportMetric(theirs/ours, "times-faster")
		})
	}
}

func middleOf(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}
