package check

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
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

// BenchmarkGrowth is a first check against the number of blocks, all different and of eight
// kinds: of the end states by stress, by cracks, and with everything that a check looks at.
// The largest boards run where TANRAD_LONG asks; 20,000 blocks take eight gigabytes.
func BenchmarkGrowth(b *testing.B) {
	for _, by := range []struct {
		name string
		c    Conditions
		most int // blocks
	}{
		{"stress", Conditions{NoHistories: true, NoChance: true, NoCauses: true, ByStress: true}, 20_000},
		{"cracks", Conditions{NoHistories: true, NoChance: true, NoCauses: true}, 3600},
		{"use", Conditions{}, 3600},
	} {
		for _, size := range [][2]int{{3, 4}, {6, 8}, {12, 16}, {24, 32}, {60, 60}, {100, 200}} {
			blocks := size[0] * size[1]
			if blocks > by.most || blocks > 1000 && !boardtest.Long() {
				continue
			}
			for _, kinds := range []int{0, 8} {
				name := "different"
				if kinds > 0 {
					name = "eight-kinds"
				}
				src := boardgen.Grid(boardgen.Options{Rows: size[0], Cols: size[1], Block: 40, Thickness: 40, Kinds: kinds, Seed: 1, RandomRings: true})
				by.c.Budget = 64 << 30
				b.Run(fmt.Sprintf("%s/%d-blocks/%s", by.name, blocks, name), func(b *testing.B) {
					for b.Loop() {
						board, err := layout.Read(src)
						require.NoError(b, err)
						_, err = Board(context.Background(), board, by.c)
						require.NoError(b, err)
					}
					b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N*blocks), "ms/block")
				})
			}
		}
	}
}
