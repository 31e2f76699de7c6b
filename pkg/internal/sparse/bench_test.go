package sparse

import (
	"context"
	"fmt"
	"testing"
)

// benchCase is a board with a name.
type benchCase struct {
	name string
	b    board
}

func benchCases() []benchCase {
	pick := make([]int, 4096)
	rng := random(1)
	for i := range pick {
		pick[i] = rng.IntN(8)
	}
	eight := func(c, r, q int) int { return pick[(r*30+c)*4+q] }
	different := func(c, r, q int) int { return (r*30+c)*4 + q }
	pattern := func(c, r, q int) int { return (c%4 + 3*(r%2)) % 8 }
	third := func(c, r int) bool { return (c+r)%3 == 0 }
	return []benchCase{
		{"B192/different/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: different}},
		{"B192/different/mesh6", board{cols: 16, rows: 12, side: 40, mesh: 6, kind: different}},
		{"B192/eight-random/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: eight}},
		{"B192/eight-random/mesh6", board{cols: 16, rows: 12, side: 40, mesh: 6, kind: eight}},
		{"B192/eight-pattern/mesh8", board{cols: 16, rows: 12, side: 40, mesh: 8, kind: pattern}},
		{"B192/brick-different/mesh6", board{cols: 16, rows: 12, side: 40, mesh: 6, kind: different, even: true,
			offset: func(r int) float64 { return 0.5 * float64(r%2) }}},
		{"B600/eight-quartered/mesh6", board{cols: 30, rows: 20, side: 40, mesh: 6, kind: eight, quartered: third}},
	}
}

// BenchmarkFactorTree times the fast solver on the reference boards, element
// stiffness left out.
func BenchmarkFactorTree(b *testing.B) {
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			k = remembered(p, k)
			b.ReportAllocs()
			for b.Loop() {
				f, err := FactorTree(context.Background(), p, k, Options{})
				if err != nil {
					b.Fatal(err)
				}
				release(f)
			}
		})
	}
}

// BenchmarkGrowth shows how time grows with the number of pieces, when all
// differ and when a pattern of four by two repeats.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range [][2]int{{4, 3}, {8, 6}, {16, 12}, {30, 20}, {60, 40}} {
		for _, c := range []struct {
			name string
			kind func(c, r, q int) int
		}{
			{"different", func(c, r, q int) int { return r*1000 + c }},
			{"pattern", func(c, r, q int) int { return c%4 + 4*(r%2) }},
		} {
			b.Run(fmt.Sprintf("%d/%s", size[0]*size[1], c.name), func(b *testing.B) {
				p, k := board{cols: size[0], rows: size[1], side: 40, mesh: 6, kind: c.kind}.build()
				k = remembered(p, k)
				var s Stats
				for b.Loop() {
					f, err := FactorTree(context.Background(), p, k, Options{})
					if err != nil {
						b.Fatal(err)
					}
					s = f.Stats()
					release(f)
				}
				b.ReportMetric(float64(s.Unknowns), "unknowns")
				b.ReportMetric(float64(s.Flops)/1e6, "Mflop")
				b.ReportMetric(float64(s.Distinct), "distinct")
				b.ReportMetric(float64(s.Bytes)/1e6, "MB")
			})
		}
	}
}

// BenchmarkTurnOnePiece times a what-if: one of 192 pieces changes, the rest is
// kept.
func BenchmarkTurnOnePiece(b *testing.B) {
	var cache Cache
	turn := 0
	for b.Loop() {
		b.StopTimer()
		turn++
		p, k := board{cols: 16, rows: 12, side: 40, mesh: 8, kind: func(c, r, q int) int {
			if c == 5 && r == 4 {
				return 10000 + turn
			}
			return r*16 + c
		}}.build()
		k = remembered(p, k)
		b.StartTimer()
		if _, err := FactorTree(context.Background(), p, k, Options{Cache: &cache, TrustKeys: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolveTree times eight right-hand sides together.
func BenchmarkSolveTree(b *testing.B) {
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			f, err := FactorTree(context.Background(), p, remembered(p, k), Options{})
			if err != nil {
				b.Fatal(err)
			}
			x, load := sides(p, 8, 1), sides(p, 8, 1)
			for b.Loop() {
				if err := f.Solve(b.Context(), x, load); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
