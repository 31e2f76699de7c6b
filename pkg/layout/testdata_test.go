package layout_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

const boards = "../../testdata/boards"

func TestGoodBoards(t *testing.T) {
	names := boardtest.Names(t)
	require.GreaterOrEqual(t, len(names), 20)
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			assert.NotEmpty(t, read(t, string(boardtest.Source(t, name))).Name)
		})
	}
}

// TestBadBoards reads every board in the folder of bad ones: beside NAME.json
// stands NAME.faults.json with the rule and the pointer of each fault it has.
func TestBadBoards(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(boards, "bad", "*.json"))
	require.NoError(t, err)
	count := 0
	for _, f := range files {
		if strings.HasSuffix(f, ".faults.json") {
			continue
		}
		count++
		t.Run(filepath.Base(f), func(t *testing.T) {
			src, err := os.ReadFile(f)
			require.NoError(t, err)
			text, err := os.ReadFile(strings.TrimSuffix(f, ".json") + ".faults.json")
			require.NoError(t, err)
			type told struct {
				Rule    fault.Rule `json:"rule"`
				Pointer string     `json:"pointer"`
			}
			var want, got []told
			require.NoError(t, json.Unmarshal(text, &want))
			require.NotEmpty(t, want)
			list := refused(t, string(src))
			for _, f := range list {
				got = append(got, told{f.Rule, f.Pointer})
			}
			assert.Equal(t, want, got, list.Error())
		})
	}
	assert.GreaterOrEqual(t, count, 20)
	assert.Equal(t, 2*count, len(files), "a file of faults for each bad board, and none left over")
}

// TestStoryBoards pins down the four boards that tell what the tool is for.
func TestStoryBoards(t *testing.T) {
	load := func(name string) *layout.Board { return read(t, string(boardtest.Source(t, name))) }
	alike, random := load("checker-alike"), load("checker-random")
	assert.Len(t, alike.Joints, 5*8+6*7)
	rings := map[float64]bool{}
	for i, p := range random.Pieces {
		q := alike.Pieces[i]
		assert.Equal(t, q.Outline, p.Outline)
		assert.Equal(t, q.Species, p.Species, "the random board differs in rings only")
		assert.Zero(t, q.RingAngle)
		rings[p.RingAngle] = true
	}
	assert.Greater(t, len(rings), 30)
	long, end := load("checker-long-border"), load("checker-end-border")
	for i := range long.Pieces {
		assert.Equal(t, long.Pieces[i].Outline, end.Pieces[i].Outline)
	}
	assert.False(t, long.Pieces[48].Grain.Up)
	assert.True(t, end.Pieces[48].Grain.Up)
}
