package check

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/layout"
)

// BenchmarkYear is a check with a year and the standard exposures.
func BenchmarkYear(b *testing.B) {
	for _, ref := range boardgen.Reference[:4] {
		board, err := layout.Read(ref.Board)
		require.NoError(b, err)
		b.Run(ref.Name, func(b *testing.B) {
			m, err := Prepare(context.Background(), board, Conditions{})
			require.NoError(b, err)
			b.ResetTimer()
			for b.Loop() {
				_, err := m.Report(context.Background(), Conditions{NoCracks: true, NoChance: true})
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkGrowth is a whole check of the end states against the number of
// blocks, all different and of eight kinds.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range [][2]int{{3, 4}, {6, 8}, {12, 16}, {24, 32}, {40, 60}} {
		for _, kinds := range []int{0, 8} {
			name := fmt.Sprintf("%d-blocks/different", size[0]*size[1])
			if kinds > 0 {
				name = fmt.Sprintf("%d-blocks/eight-kinds", size[0]*size[1])
			}
			src := boardgen.Grid(boardgen.Options{Rows: size[0], Cols: size[1], Block: 40, Thickness: 40, Kinds: kinds, Seed: 1, RandomRings: true})
			b.Run(name, func(b *testing.B) {
				for b.Loop() {
					board, err := layout.Read(src)
					require.NoError(b, err)
					_, err = Board(context.Background(), board, Conditions{NoHistories: true, NoCracks: true, NoChance: true})
					require.NoError(b, err)
				}
			})
		}
	}
}
