package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestExport(t *testing.T) {
	file := filepath.Join(t.TempDir(), "board.inp")
	r := run(t, twoByTwo, "export", "-", "--change", "-3", "--out", file)
	require.Equal(t, 0, r.code, r.err)
	assert.Empty(t, r.out)
	written, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, run(t, twoByTwo, "export", "-", "--change=-3").out, string(written))
	assert.True(t, strings.HasPrefix(string(written), "** two by two\n"), "%.80s", written)
	assert.Contains(t, run(t, twoByTwo, "export", "-", "--format", "mtx").out, "%%MatrixMarket")
	for words, args := range map[string][]string{
		"--format":               {"--format", "step"},
		"a matrix has no load":   {"--format", "mtx", "--change", "3"},
		"nearest: dampest-month": {"--state", "dampest"},
		"--change":               {"--change", "NaN"},
		"--refine":               {"--refine", "7"},
	} {
		r := run(t, twoByTwo, append([]string{"export", "-"}, args...)...)
		assert.Equal(t, 2, r.code, "%v", args)
		assert.Contains(t, r.err, words, "%v", args)
	}
	assert.Equal(t, 1, run(t, twoByTwo, "export", "-", "--out", filepath.Join(file, "no", "such")).code)
}
