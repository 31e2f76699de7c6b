//go:build amd64 && !purego

package sparse

import "golang.org/x/sys/cpu"

//go:noescape
func sweepUpdate512(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int)

//go:noescape
func sweepSolve512(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int, tri *float64)

//go:noescape
func forwardRows512(l *float64, stride, blocks, k int, x, out *float64)

//go:noescape
func forwardTriangle512(tri, row *float64)

//go:noescape
func backwardColumns512(l *float64, stride, blocks int, x, tri, row *float64)

//go:noescape
func addBlock512(dst *float64, ldd int, src *float64, lds, rows, cols int)

// wide says that the processor and the system have the 512-bit kernels.
var wide = cpu.X86.HasAVX512F && cpu.X86.HasAVX512DQ

func sweepUpdate(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	if wide {
		sweepUpdate512(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
		return
	}
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
}

func sweepSolve(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	if wide {
		sweepSolve512(&c[0], ldc, &a[0], stride, blocks, &b[0], k, &tri[0])
		return
	}
	sweepSolveGo(c, ldc, a, stride, blocks, b, k, tri)
}

func forward(l []float64, stride, top, all, ne int, x []float64) {
	if !wide {
		forwardGo(l, stride, top, all, ne, x)
		return
	}
	for r := range top {
		forwardRows512(&l[r*stride], stride, 1, 8*r, &x[0], &x[64*r])
		forwardTriangle512(&l[r*stride+64*r], &x[64*r])
	}
	if all > top && ne > 0 {
		forwardRows512(&l[top*stride], stride, all-top, ne, &x[0], &x[64*top])
	}
}

func backward(l []float64, stride, top, all int, x []float64) {
	if !wide {
		backwardGo(l, stride, top, all, x)
		return
	}
	for r := top - 1; r >= 0; r-- {
		below, first := &l[r*stride+64*r], &x[64*r]
		if r+1 < all {
			below, first = &l[(r+1)*stride+64*r], &x[64*(r+1)]
		}
		backwardColumns512(below, stride, all-r-1, first, &l[r*stride+64*r], &x[64*r])
	}
}

func addBlock(dst []float64, ldd int, src []float64, lds, rows, cols int) {
	if wide {
		addBlock512(&dst[0], ldd, &src[0], lds, rows, cols)
		return
	}
	addBlockGo(dst, ldd, src, lds, rows, cols)
}
