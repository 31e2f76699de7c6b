package deck

import (
	"bufio"
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

func prepared(t *testing.T, name string) *influence.Model {
	t.Helper()
	return refined(t, name, 0)
}

func refined(t *testing.T, name string, refine int) *influence.Model {
	t.Helper()
	m, err := influence.Prepare(context.Background(), boardtest.Named(t, name), influence.Options{Refine: refine})
	require.NoError(t, err)
	return m
}

// solve runs CalculiX on a deck and reads the displacements, mm.
func solve(t *testing.T, inp []byte, nodes int) [][2]float64 {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "board.inp"), inp, 0o600))
	cmd := exec.Command("ccx", "-i", "board")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1")
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", said)
	for line := range strings.Lines(string(said)) {
		assert.NotContains(t, line, "*ERROR")
		assert.NotContains(t, line, "*WARNING", "runs without complaint")
	}
	f, err := os.Open(filepath.Join(dir, "board.dat"))
	require.NoError(t, err)
	defer f.Close()
	out := make([][2]float64, nodes)
	read := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		w := strings.Fields(s.Text())
		if len(w) != 4 {
			continue
		}
		n, err := strconv.Atoi(w[0])
		if err != nil || n < 1 || n > nodes {
			continue
		}
		for a := range out[n-1] {
			out[n-1][a], err = strconv.ParseFloat(w[1+a], 64)
			require.NoError(t, err)
		}
		read++
	}
	require.Equal(t, nodes, read, "%s", said)
	return out
}

// apart is the largest difference of two displacements over the largest of them.
func apart(x []float64, u [][2]float64) float64 {
	most, far := 0.0, 0.0
	for i := range u {
		most = math.Max(most, math.Hypot(x[2*i], x[2*i+1]))
		far = math.Max(far, math.Hypot(x[2*i]-u[i][0], x[2*i+1]-u[i][1]))
	}
	return far / most
}
