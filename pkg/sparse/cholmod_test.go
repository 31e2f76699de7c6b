package sparse

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
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
		{"B192/different/mesh8", board{16, 12, 40, 8, different, nil, nil}},
		{"B192/different/mesh6", board{16, 12, 40, 6, different, nil, nil}},
		{"B192/eight-random/mesh8", board{16, 12, 40, 8, eight, nil, nil}},
		{"B192/eight-random/mesh6", board{16, 12, 40, 6, eight, nil, nil}},
		{"B192/eight-pattern/mesh8", board{16, 12, 40, 8, pattern, nil, nil}},
		{"B600/eight-quartered/mesh6", board{30, 20, 40, 6, eight, third, nil}},
	}
}
