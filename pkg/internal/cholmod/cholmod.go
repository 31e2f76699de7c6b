//go:build unix

// Package cholmod runs the outside baseline of the benchmarks: a small C program
// over SuiteSparse CHOLMOD and OpenBLAS (Debian packages libsuitesparse-dev and
// libopenblas-dev), one thread, on a system written in Matrix Market form.
package cholmod

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// Times is one line of the program, times in ns.
type Times struct {
	Name                      string
	Analyse, Factorise, Solve float64
	CPU                       float64 // processor time of all three
	NonZeros, Flops           float64
}

// Total is analysis, factorisation and solution together, ns.
func (t Times) Total() float64 { return t.Analyse + t.Factorise + t.Solve }

// Build compiles the program whose source stands at the given path, or skips the
// benchmark where it cannot be built.
func Build(tb testing.TB, source string) string {
	tb.Helper()
	cc, err := exec.LookPath("cc")
	if err != nil {
		tb.Skip("no C compiler")
	}
	bin := filepath.Join(tb.TempDir(), "bench")
	out, err := exec.Command(cc, "-O2", "-o", bin, source, "-I/usr/include/suitesparse", "-lcholmod", "-lopenblas", "-lm").CombinedOutput()
	if err != nil {
		tb.Skipf("SuiteSparse or OpenBLAS is absent: %s", out)
	}
	return bin
}

// Run times the outside solver on the system that write puts into a file, with
// some right-hand sides; each ordering it is given (or its own choice) is one
// line of the answer.
func Run(tb testing.TB, bin string, write func(io.Writer) error, sides, repeats int, orderings ...string) []Times {
	tb.Helper()
	file := filepath.Join(tb.TempDir(), "system.mtx")
	out, err := os.Create(file)
	if err == nil {
		err = write(out)
	}
	if err == nil {
		err = out.Close()
	}
	if err != nil {
		tb.Fatal(err)
	}
	cmd := exec.Command(bin, append([]string{file, strconv.Itoa(sides), strconv.Itoa(repeats)}, orderings...)...)
	cmd.Env = append(os.Environ(), "OPENBLAS_NUM_THREADS=1", "OMP_NUM_THREADS=1")
	var stdout bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		tb.Fatal(err)
	}
	var times []Times
	for line := range strings.Lines(stdout.String()) {
		var c Times
		if _, err := fmt.Sscan(line, &c.Name, &c.Analyse, &c.Factorise, &c.Solve, &c.CPU, &c.NonZeros, &c.Flops); err != nil {
			tb.Fatalf("baseline printed %q: %v", line, err)
		}
		times = append(times, c)
	}
	return times
}

// Best is the shortest total and the least processor time over the orderings, ns.
func Best(times []Times) (clock, cpu float64) {
	clock, cpu = math.Inf(1), math.Inf(1)
	for _, t := range times {
		clock, cpu = min(clock, t.Total()), min(cpu, t.CPU)
	}
	return clock, cpu
}

// ProcessorTime is that of this process so far, ns.
func ProcessorTime() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano() + u.Stime.Nano())
}
