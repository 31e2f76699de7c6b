package layout_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// TestTurnedBoardsAreTheSameBoards turns every good board by a quarter: joints
// keep ids and lengths, every piece its area, and each radial axis goes along.
func TestTurnedBoardsAreTheSameBoards(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(boards, "ok", "*.json"))
	require.NoError(t, err)
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			src, err := os.ReadFile(f)
			require.NoError(t, err)
			b := read(t, string(src))
			c, err := b.Turned(1)
			require.NoError(t, err)
			sound(t, c)
			assert.InDelta(t, b.Height, c.Width, rounding)
			turn := func(p layout.XY) layout.XY { return layout.XY{b.Height - p[1], p[0]} }
			require.Len(t, c.Joints, len(b.Joints))
			for i, j := range b.Joints {
				assert.Equal(t, j.ID, c.Joints[i].ID)
				near(t, []layout.XY{turn(j.From)}, []layout.XY{c.Joints[i].From})
				near(t, []layout.XY{turn(j.To)}, []layout.XY{c.Joints[i].To})
			}
			for i, p := range b.Pieces {
				q := c.Pieces[i]
				near(t, []layout.XY{turn(p.Centre)}, []layout.XY{q.Centre})
				if p.Grain.Up {
					assert.InDelta(t, 0, math.Remainder(q.RingAngle-p.RingAngle-90, 360), rounding)
					if p.Pith != nil {
						near(t, []layout.XY{turn(*p.Pith)}, []layout.XY{*q.Pith})
					}
				} else {
					assert.InDelta(t, 0, math.Remainder(q.Grain.Angle-p.Grain.Angle-90, 360), rounding)
					assert.Equal(t, p.RingAngle, q.RingAngle)
				}
			}
			back, err := c.Turned(-1)
			require.NoError(t, err)
			for i, p := range b.Pieces {
				near(t, p.Outline, back.Pieces[i].Outline)
				assert.InDelta(t, 0, math.Remainder(p.RingAngle-back.Pieces[i].RingAngle, 360), rounding)
			}
			for i, br := range b.Borders {
				assert.Equal(t, br.Sides, back.Borders[i].Sides)
				assert.Equal(t, br.Pieces, back.Borders[i].Pieces)
			}
		})
	}
}

// TestUnevenHandsAreSnapped moves every coordinate of a free layout by up to
// 0.017 mm, so that no two copies of a corner are further apart than Snap: the
// map must stay the same.
func TestUnevenHandsAreSnapped(t *testing.T) {
	number := regexp.MustCompile(`\[(-?[0-9.]+),(-?[0-9.]+)\]`)
	src := hexagons(6, 7, 20)
	b := read(t, src)
	rng := rand.New(rand.NewPCG(3, 5))
	for range 20 {
		shaken := number.ReplaceAllStringFunc(src, func(pair string) string {
			m := number.FindStringSubmatch(pair)
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			return fmt.Sprintf("[%.4f,%.4f]", x+0.034*(rng.Float64()-0.5), y+0.034*(rng.Float64()-0.5))
		})
		c := read(t, shaken)
		require.Len(t, c.Joints, len(b.Joints))
		require.Len(t, c.Partition.Vertices, len(b.Partition.Vertices))
		for i, j := range b.Joints {
			assert.Equal(t, j.ID, c.Joints[i].ID)
			assert.InDelta(t, j.Length, c.Joints[i].Length, 2*layout.Snap)
		}
	}
}
