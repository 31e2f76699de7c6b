package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLessonIsToldAndPrinted(t *testing.T) {
	r := run(t, "", "lesson")
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "hairline")
	r = run(t, "", "lesson", "hairline")
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "Answer: some tenths of a millimetre")
	assert.Contains(t, r.out, "table salt")
	page := filepath.Join(t.TempDir(), "page.html")
	r = run(t, "", "lesson", "hairline", "--handout", page)
	require.Equal(t, 0, r.code, r.err)
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.Contains(t, string(html), "@media print")
	assert.NotContains(t, string(html), "<link", "whole by itself")
	r = run(t, "", "lesson", "hairlin")
	assert.Equal(t, 2, r.code)
	assert.Contains(t, r.err, "hairline")
}
