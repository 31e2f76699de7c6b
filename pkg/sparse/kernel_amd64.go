//go:build amd64 && !purego

package sparse

import "golang.org/x/sys/cpu"

//go:noescape
func sweepUpdate512(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int)

//go:noescape
func sweepFresh512(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int)

//go:noescape
func sweepSolve512(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int, tri *float64)

//go:noescape
func factorBlock512(c *float64, ldc int, tri, floor *float64) int

//go:noescape
func forwardRows512(l *float64, stride, blocks, k int, x, out *float64)

//go:noescape
func forwardTriangle512(tri, row *float64)

//go:noescape
func backwardColumns512(l *float64, stride, blocks int, x, tri, row *float64)

//go:noescape
func addBlock512(dst *float64, ldd int, src *float64, lds, rows, cols, shrink int)

//go:noescape
func setBlock512(dst *float64, ldd int, src *float64, lds, rows, cols, shrink int)

//go:noescape
func gatherRows512(dst, x *float64, nodes *int32, count, dof int)

//go:noescape
func scatterRows512(x, src *float64, nodes *int32, count, dof int)

//go:noescape
func scatterAddRows512(x, src *float64, nodes *int32, count, dof int)

// wide says that the processor and the system have the 512-bit kernels.
var wide = cpu.X86.HasAVX512F && cpu.X86.HasAVX512DQ

func sweepUpdate(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	if wide {
		sweepUpdate512(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
		return
	}
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
}

func sweepFresh(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	if wide {
		sweepFresh512(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
		return
	}
	sweepFreshGo(c, ldc, a, stride, blocks, b, k)
}

func sweepSolve(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	if wide {
		sweepSolve512(&c[0], ldc, &a[0], stride, blocks, &b[0], k, &tri[0])
		return
	}
	sweepSolveGo(c, ldc, a, stride, blocks, b, k, tri)
}

func factorBlock(c []float64, ldc int, tri []float64, floor []float64) int {
	if wide {
		return factorBlock512(&c[0], ldc, &tri[0], &floor[0])
	}
	return factorBlockGo(c, ldc, tri, floor)
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

func addBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	if wide {
		addBlock512(&dst[0], ldd, &src[0], lds, rows, cols, shrink)
		return
	}
	addBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func setBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	if wide {
		setBlock512(&dst[0], ldd, &src[0], lds, rows, cols, shrink)
		return
	}
	setBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func gatherRows(dst, x []float64, nodes []int32, dof int) {
	if wide && len(nodes) > 0 {
		gatherRows512(&dst[0], &x[0], &nodes[0], len(nodes), dof)
		return
	}
	gatherRowsGo(dst, x, nodes, dof)
}

func scatterRows(x, src []float64, nodes []int32, dof int) {
	if wide && len(nodes) > 0 {
		scatterRows512(&x[0], &src[0], &nodes[0], len(nodes), dof)
		return
	}
	scatterRowsGo(x, src, nodes, dof)
}

func scatterAddRows(x, src []float64, nodes []int32, dof int) {
	if wide && len(nodes) > 0 {
		scatterAddRows512(&x[0], &src[0], &nodes[0], len(nodes), dof)
		return
	}
	scatterAddRowsGo(x, src, nodes, dof)
}
