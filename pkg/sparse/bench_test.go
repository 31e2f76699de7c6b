package sparse

import (
	"context"
	"testing"
)

// BenchmarkFactorTree times the fast solver on the reference boards, element
// stiffness left out.
func BenchmarkFactorTree(b *testing.B) {
	for _, c := range benchCases() {
		b.Run(c.name, func(b *testing.B) {
			p, k := c.b.build()
			k = remembered(p, k)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := FactorTree(context.Background(), p, k, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
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
				if err := f.Solve(x, load); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
