package api

import (
	"bytes"
	"compress/gzip"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBenchIsSmall: all that the bench loads before its first question goes through
// a thin line, packed below 300 kB.
func TestBenchIsSmall(t *testing.T) {
	h := newHarness(t, Config{})
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	for _, path := range []string{"/", "/page/page.css", "/page/bench.css", "/page/bench.js", "/page/drawing.js", "/page/boardfile.js", "/page/service.js",
		"/page/icon.svg", "/page/demo.json", "/v1/species?limit=500", "/v1/climates", "/v1/exposures"} {
		_, err := z.Write(h.good(request{path: path}).Body.Bytes())
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	t.Logf("%d bytes", b.Len())
	assert.Less(t, b.Len(), 300<<10, "bytes")
}
