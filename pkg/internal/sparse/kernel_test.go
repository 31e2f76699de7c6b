package sparse

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func noise(seed uint64, n int) []float64 {
	rng := random(seed)
	x := make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	return x
}

// largest difference of two slices.
func off(x, y []float64) float64 {
	d := 0.0
	for i := range x {
		d = math.Max(d, math.Abs(x[i]-y[i]))
	}
	return d
}

// eachWidth runs a test with every set of kernels this machine has.
func eachWidth(t *testing.T, test func(t *testing.T)) {
	own := width
	defer func() { width = own }()
	for _, w := range []int{512, 256, 0} {
		if w > own {
			continue
		}
		width = w
		t.Run(fmt.Sprintf("%d bits", w), test)
	}
}

// The kernels of this machine against the plain ones. Sums of at most 60
// products of numbers of order 1 differ by rounding only: 1e-12 is a thousand
// units of rounding.
func TestKernelsAgree(t *testing.T) { eachWidth(t, kernelsAgree) }

func kernelsAgree(t *testing.T) {
	tri := noise(9, 64)
	for j := range 8 {
		tri[9*j] = 0.7
	}
	for blocks := 1; blocks <= 8; blocks++ {
		for _, k := range []int{0, 1, 2, 7, 8, 31, 60} {
			name := fmt.Sprintf("%d blocks, %d columns", blocks, k)
			stride, ldc := 8*(k+8), 8*blocks+5
			a, b, c := noise(1, stride*blocks), noise(2, 8*k+8), noise(3, 8*ldc)
			want, got := slices.Clone(c), slices.Clone(c)
			sweepUpdateGo(want, ldc, a, stride, blocks, b, k)
			sweepUpdate(got, ldc, a, stride, blocks, b, k)
			assert.Less(t, off(want, got), 1e-12, name)

			sweepFreshGo(want, ldc, a, stride, blocks, b, k)
			sweepFresh(got, ldc, a, stride, blocks, b, k)
			assert.Less(t, off(want, got), 1e-12, name)

			wantA, gotA := slices.Clone(a), slices.Clone(a)
			sweepSolveGo(slices.Clone(c), ldc, wantA, stride, blocks, b, k, tri)
			sweepSolve(slices.Clone(c), ldc, gotA, stride, blocks, b, k, tri)
			// the triangle multiplies rounding by at most a few thousand
			assert.Less(t, off(wantA, gotA)/(1+off(wantA, make([]float64, len(wantA)))), 1e-12, name)
		}
	}
}

func TestSolveKernelsAgree(t *testing.T) { eachWidth(t, solveKernelsAgree) }

func solveKernelsAgree(t *testing.T) {
	tri := noise(4, 64)
	for j := range 8 {
		tri[9*j] = 0.7
	}
	for blocks := 1; blocks <= 5; blocks++ {
		for _, k := range []int{1, 5, 8, 40} {
			stride := 8 * (k + 8)
			l, x, out := noise(5, stride*blocks), noise(6, 8*max(k, 8*blocks)), noise(7, 64*blocks)
			want, got := slices.Clone(out), slices.Clone(out)
			forwardRowsGo(l, stride, blocks, k, x, want)
			forwardRows(l, stride, blocks, k, x, got)
			assert.Less(t, off(want, got), 1e-12, "%d blocks, %d columns", blocks, k)
			rows := noise(9, 8*k)
			want, got = slices.Clone(rows), slices.Clone(rows)
			backwardRowGo(l, k, out, want)
			backwardRow(l, k, out, got)
			assert.Less(t, off(want, got), 1e-12, "%d blocks, %d columns", blocks, k)
		}
	}
	row := noise(8, 64)
	want, got := slices.Clone(row), slices.Clone(row)
	forwardTriangleGo(tri, want)
	forwardTriangle(tri, got)
	// a random triangle multiplies rounding by some thousands
	assert.Less(t, off(want, got)/off(want, make([]float64, 64)), 1e-12)
	backwardTriangleGo(tri, want)
	backwardTriangle(tri, got)
	assert.Less(t, off(want, got)/off(want, make([]float64, 64)), 1e-12)
}

// The strips of L must neither overlap nor leave rows too short.
func TestPanelsLieSideBySide(t *testing.T) {
	for interior := range 90 {
		for _, boundary := range []int{0, 3, 8, 50} {
			p := &pattern{ne: interior, nr: boundary, ne8: (interior + 7) &^ 7, nr8: (boundary + 7) &^ 7}
			p.panels = (p.ne8 + p.nr8) / 8
			end := 0
			for q := range p.panels {
				at, stride := p.panelAt(q)
				assert.GreaterOrEqual(t, at, end)
				assert.GreaterOrEqual(t, stride, min(64*(q+1), 8*p.ne8))
				end = at + stride
				if to := p.uniform(q); to > q+1 {
					last, same := p.panelAt(to - 1)
					assert.Equal(t, at+(to-1-q)*stride, last)
					assert.Equal(t, stride, same)
				}
			}
			assert.Equal(t, end, p.panelLen())
		}
	}
}

func TestBlockKernelsAgree(t *testing.T) { eachWidth(t, blockKernelsAgree) }

func blockKernelsAgree(t *testing.T) {
	for rows := 1; rows < 40; rows++ {
		for _, cols := range []int{1, 2, 5, rows} {
			for shrink := range 2 {
				if shrink*cols > rows {
					continue
				}
				dst, src := noise(6, 51*cols), noise(7, 46*cols)
				want, got := slices.Clone(dst), slices.Clone(dst)
				addBlockGo(want, 50, src, 45, rows, cols, shrink)
				addBlock(got, 50, src, 45, rows, cols, shrink)
				assert.Equal(t, want, got, "%d rows, %d columns", rows, cols)
				setBlockGo(want, 50, src, 45, rows, cols, shrink)
				setBlock(got, 50, src, 45, rows, cols, shrink)
				assert.Equal(t, want, got, "%d rows, %d columns", rows, cols)
			}
		}
	}
}

func TestRowKernelsAgree(t *testing.T) { eachWidth(t, rowKernelsAgree) }

func rowKernelsAgree(t *testing.T) {
	nodes := []int32{7, 0, 3, 9, 4}
	for dof := 1; dof <= 4; dof++ {
		x, src := noise(1, 80*dof), noise(2, 40*dof)
		for n := range len(nodes) + 1 {
			want, got := slices.Clone(src), slices.Clone(src)
			gatherRowsGo(want, x, nodes[:n], dof)
			gatherRows(got, x, nodes[:n], dof)
			assert.Equal(t, want, got)
			wantX, gotX := slices.Clone(x), slices.Clone(x)
			scatterRowsGo(wantX, want, nodes[:n], dof)
			scatterRows(gotX, want, nodes[:n], dof)
			scatterAddRowsGo(wantX, src, nodes[:n], dof)
			scatterAddRows(gotX, src, nodes[:n], dof)
			assert.Equal(t, wantX, gotX)
		}
	}
}

func TestFactorBlockKernel(t *testing.T) { eachWidth(t, factorBlockKernel) }

func factorBlockKernel(t *testing.T) {
	for seed := range uint64(20) {
		g, c := noise(seed, 64), make([]float64, 8*11)
		for i := range 8 {
			for j := range 8 {
				for k := range 8 {
					c[i+11*j] += g[8*i+k] * g[8*j+k]
				}
			}
			c[12*i] += 0.5
		}
		for i := range 8 { // above the diagonal stands anything
			for j := i + 1; j < 8; j++ {
				c[i+11*j] = 1e3
			}
		}
		floor := make([]float64, 8)
		if seed%3 == 0 {
			floor[seed%8] = 1e6
		}
		want, got := make([]float64, 64), make([]float64, 64)
		i := factorBlockGo(slices.Clone(c), 11, want, floor)
		j := factorBlock(slices.Clone(c), 11, got, floor)
		assert.Equal(t, i, j)
		if i >= 0 {
			assert.InDelta(t, want[0], got[0], 1e-11) // the pivot
			continue
		}
		assert.Less(t, off(want, got), 1e-11) // entries of order 1, pivots above 0.5
	}
	bad := make([]float64, 64)
	bad[0] = math.NaN()
	assert.Zero(t, factorBlock(bad, 8, make([]float64, 64), make([]float64, 8)))
}

// BenchmarkKernel reports the rate of the update kernel on operands that fit
// the second level of cache.
func BenchmarkKernel(b *testing.B) {
	const blocks, k = 30, 128
	stride, ldc := 8*k, 8*blocks
	a, c := noise(1, stride*blocks), noise(3, 8*ldc)
	for name, kernel := range map[string]func([]float64, int, []float64, int, int, []float64, int){
		"machine": sweepUpdate, "go": sweepUpdateGo,
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				kernel(c, ldc, a, stride, blocks, a, k)
			}
			b.ReportMetric(2*64*blocks*k*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
		})
	}
}

// BenchmarkLimits gives what the machine can do at most, beside which a phase is to be
// read: multiplications and additions of the kernel on operands in the first level of
// cache, which factorising lives on, and bytes read once from memory by a sum that the
// machine keeps up with, which bounds a solve for few sides.
func BenchmarkLimits(b *testing.B) {
	b.Run("kernel", func(b *testing.B) {
		const k = 32
		a, c := noise(1, 8*k), noise(3, 64)
		for b.Loop() {
			sweepUpdate(c, 8, a, 8*k, 1, a, k)
		}
		b.ReportMetric(2*64*k*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
	})
	b.Run("memory", func(b *testing.B) {
		a := noise(1, 32<<20) // 256 MB, more than any cache
		sum := 0.0
		for b.Loop() {
			var s [8]float64
			for i := 0; i < len(a); i += 8 {
				row := a[i : i+8 : i+8]
				for r := range s {
					s[r] += row[r]
				}
			}
			sum += s[0]
		}
		b.ReportMetric(8*float64(len(a))*float64(b.N)/b.Elapsed().Seconds()/1e9, "GB/s")
		if sum == 0 {
			b.Fatal("nothing was read")
		}
	})
}
