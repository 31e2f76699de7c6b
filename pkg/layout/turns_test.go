package layout_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// A frame of two butted borders round one seam: the seam ends in the flanks of two
// borders, each with a way to either side; each of the four corners of the field is
// where the line of the short border ends at that of the long one.
func TestTurnsOfAFrame(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 30], "rows": ["MW", "WM"]}},
		"borders": [{"stock": "M", "grain": "along", "width": 20, "sides": ["top", "bottom"]}]`))
	lines := b.Lines()
	turns := b.Turns(lines)
	// Two ends of the upright seam, two ways each; the level one ends at the rim.
	require.Len(t, turns, 4)
	for _, turn := range turns {
		require.Len(t, turn.Joints, 3)
		assert.Equal(t, 2, turn.Corner)
		assert.InDelta(t, 60+40, turn.Length, rounding)
		assert.InDelta(t, 40, turn.Via[0], rounding)
		assert.InDelta(t, 60, turn.Joints[2].At, rounding)
		assert.Equal(t, 1, turn.Skipped)
	}
}

// On every board with corners a turned path is a chain: each joint begins where the last
// one ends, the joints up to the corner are those of one line and those behind it of
// another, and each path is there once.
func TestATurnedPathIsAChainOfTwoLines(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(boards, "ok", "*.json"))
	require.NoError(t, err)
	some := 0
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		b := read(t, string(src))
		lines := b.Lines()
		type ends struct{ first, last, corner int }
		seen := map[ends]bool{}
		for _, turn := range b.Turns(lines) {
			some++
			at := turn.From
			for k, lj := range turn.Joints {
				j := &b.Joints[lj.Joint]
				from, to := j.From, j.To
				if lj.Reversed {
					from, to = to, from
				}
				assert.InDelta(t, 0, math.Hypot(from[0]-at[0], from[1]-at[1]), 2*layout.Snap, "%s: joint %d", f, k)
				mid := turn.Place(lj.At + j.Length/2)
				assert.InDelta(t, 0, math.Hypot((from[0]+to[0])/2-mid[0], (from[1]+to[1])/2-mid[1]), 2*layout.Snap, f)
				at = to
				of, n := 0, k
				if k >= turn.Corner {
					of, n = 1, k-turn.Corner+turn.Skipped
				}
				l := &lines[turn.Of[of]]
				if turn.Reversed[of] {
					n = len(l.Joints) - 1 - n
				}
				assert.Equal(t, lj.Joint, l.Joints[n].Joint, f)
				assert.Equal(t, lj.Reversed, l.Joints[n].Reversed != turn.Reversed[of], f)
			}
			assert.InDelta(t, 0, math.Hypot(turn.To[0]-at[0], turn.To[1]-at[1]), 2*layout.Snap, f)
			k := ends{turn.Joints[0].Joint, turn.Joints[len(turn.Joints)-1].Joint, turn.Joints[turn.Corner].Joint}
			back := ends{k.last, k.first, turn.Joints[turn.Corner-1].Joint}
			assert.False(t, seen[k] || seen[back], "%s: %+v twice", f, k)
			seen[k] = true
		}
	}
	assert.Greater(t, some, 50)
}
