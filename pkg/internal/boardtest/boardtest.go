// Package boardtest reads boards for the tests of other packages.
package boardtest

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// Folder is where the boards of testdata stand.
func Folder() string {
	_, here, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(here), "..", "..", "..", "testdata", "boards", "ok")
}

// Names lists the boards of testdata.
func Names(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(Folder(), "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for i, f := range files {
		files[i] = strings.TrimSuffix(filepath.Base(f), ".json")
	}
	return files
}

// Long tells whether the long form of a test was asked for: TANRAD_LONG=1. The short
// form, on fewer or smaller boards, always runs.
func Long() bool { return os.Getenv("TANRAD_LONG") == "1" }

// Source is the text of a board of testdata, named with or without its ending.
func Source(t testing.TB, name string) []byte {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(Folder(), strings.TrimSuffix(name, ".json")+".json"))
	require.NoError(t, err)
	return src
}

// Named reads a board of testdata.
func Named(t testing.TB, name string) *layout.Board {
	t.Helper()
	return Text(t, string(Source(t, name)))
}

// Text reads a board from its JSON.
func Text(t testing.TB, src string) *layout.Board {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	return b
}

// From reads a board from JSON written as for fmt.Sprintf.
func From(t testing.TB, src string, with ...any) *layout.Board {
	t.Helper()
	return Text(t, fmt.Sprintf(src, with...))
}
