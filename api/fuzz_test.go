package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// FuzzBoard: whatever is posted, the answer is a report or a problem of the
// client's making, in bounded time; never a 500.
func FuzzBoard(f *testing.F) {
	f.Add([]byte(goodBoard))
	f.Add([]byte(strings.Repeat(`{"field":`, 100)))
	f.Add([]byte(`{"tanrad":1,"units":"in","thickness":1.5,"stock":{"a":{"species":"teak","ring_angle":-180}},"field":{"slices":{"strips":[["a",2]],"height":1.5,"count":2,"turn":"both"}}}`))
	f.Add([]byte(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"a":{"species":"teak","ring_angle":1}},"field":{"pieces":[{"stock":"a","outline":[[0,0],[1e9,0],[0,1e-9]]}]}}`))
	s, err := New(Config{CheckTime: 2 * time.Second, BoardSize: 4096, Log: silent})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		h := &harness{t: t, server: s}
		w := h.fire(request{method: "POST", path: "/v1/board?exposures=none", body: string(src), kind: "application/json"})
		if w.Code >= 500 && w.Code != http.StatusServiceUnavailable {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		if !json.Valid(w.Body.Bytes()) {
			t.Fatalf("not JSON: %q", w.Body)
		}
	})
}

// TestHugeBodiesAreBounded: 10 MB of anything, and deep nesting, are turned
// away quickly.
func TestHugeBodiesAreBounded(t *testing.T) {
	h := newHarness(t, Config{})
	for name, body := range map[string]string{
		"10 MB of spaces":   strings.Repeat(" ", 10<<20),
		"10 MB of brackets": strings.Repeat("[", 10<<20),
		"1 MB of brackets":  strings.Repeat("[", 1<<20),
		"1 MB deep objects": strings.Repeat(`{"a":`, 200_000),
		"1 MB of rows": `{"tanrad":1,"units":"mm","thickness":40,"stock":{"a":{"species":"teak","ring_angle":1}},"field":{"grid":{"block":[1,1],"rows":["` +
			strings.Repeat(strings.Repeat("a", 1000)+`","`, 1000) + `a"]}}}`,
	} {
		start := time.Now()
		w := h.send(request{path: "/v1/board", body: body})
		assert.Contains(t, []int{400, 413, 422}, w.Code, "%s: %s", name, short(w))
		// a laptop needs some 20 ms; the bound only catches growth with the square of the input
		assert.Less(t, time.Since(start), 5*time.Second, name)
		assert.Less(t, w.Body.Len(), 64<<10, "%s: the answer is bounded too", name)
	}
}
