package check

import (
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Equal requests, eight at a time over one small cache, give one answer, byte for
// byte, whatever of it was kept or dropped meanwhile.
func TestEqualRequestsGiveEqualBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	src, rounds := boardgen.Grid(boardgen.Options{Rows: 3, Cols: 4, Block: 40, Thickness: 40, Seed: 1, RandomRings: true}), 1
	if boardtest.Long() {
		src, rounds = boardgen.B48(0, 1), 2
	}
	b, err := layout.Read(src)
	require.NoError(t, err)
	// what an exposure is given stands in no order of its own
	b.Exposures = []moisture.Event{{Name: "wash-one-face", Values: map[string]float64{"minutes": 5, "times": 2, "month": 1}, Words: map[string]string{"face": "bottom", "ends": "dry"}}}
	cache := NewCache(2 << 20)
	var mu sync.Mutex
	seen := map[string]int{}
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range rounds {
				r, err := Board(t.Context(), b, Conditions{Cache: cache})
				if !assert.NoError(t, err) {
					return
				}
				text, err := json.Marshal(r)
				assert.NoError(t, err)
				mu.Lock()
				seen[string(text)]++
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	assert.Len(t, seen, 1)
}

// kernelsFile tells the test below, run again in a process of its own, where to
// write what it says.
const kernelsFile = "TANRAD_TEST_WORDS"

// Every kernel of the solver gives the same words about every board: which joint is
// worst, when, how, at what level, and the sentences. Blocks that are alike by
// symmetry differ by round-off, and that differs from kernel to kernel.
func TestEveryKernelGivesTheSameWords(t *testing.T) {
	if to := os.Getenv(kernelsFile); to != "" {
		text, err := json.Marshal(wordsOfAll(t))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(to, text, 0o600))
		return
	}
	if testing.Short() {
		t.Skip("long")
	}
	want := wordsOfAll(t)
	for _, without := range []string{"cpu.avx512f=off", "cpu.avx512f=off,cpu.avx2=off"} {
		file := filepath.Join(t.TempDir(), "words.json")
		args := []string{"-test.run=^TestEveryKernelGivesTheSameWords$"}
		cmd := exec.Command(os.Args[0], args...)
		cmd.Env = append(os.Environ(), "GODEBUG="+without, kernelsFile+"="+file)
		said, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", said)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		var got map[string][]string
		require.NoError(t, json.Unmarshal(text, &got))
		require.Equal(t, len(want), len(got))
		for name := range want {
			assert.Equal(t, want[name], got[name], "%s with %s", name, without)
		}
	}
}

// wordsOfAll gives every text of the reports on the boards of testdata.
func wordsOfAll(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, name := range boardtest.Names(t) {
		b := boardtest.Named(t, name)
		if !boardtest.Long() && name != "checker-alike" && name != "border-mitre" && name != "pith-in-strip" && len(b.Pieces) > 12 {
			continue
		}
		text, err := json.Marshal(reportOf(t, b, Conditions{NoHistories: !boardtest.Long() || len(b.Pieces) > 12}))
		require.NoError(t, err)
		var tree any
		require.NoError(t, json.Unmarshal(text, &tree))
		out[name] = wordsIn(tree, "", nil)
	}
	return out
}

func wordsIn(v any, at string, out []string) []string {
	switch v := v.(type) {
	case string:
		return append(out, at+": "+v)
	case []any:
		for _, w := range v {
			out = wordsIn(w, at, out)
		}
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(v)) {
			out = wordsIn(v[k], at+"/"+k, out)
		}
	}
	return out
}
