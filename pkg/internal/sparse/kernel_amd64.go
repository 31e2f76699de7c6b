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
func backwardRow512(l *float64, k int, x, out *float64)

//go:noescape
func backwardTriangle512(tri, row *float64)

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

//go:noescape
func sweepUpdate256(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int)

//go:noescape
func sweepFresh256(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int)

//go:noescape
func sweepSolve256(c *float64, ldc int, a *float64, stride, blocks int, b *float64, k int, tri *float64)

//go:noescape
func forwardRows256(l *float64, stride, blocks, k int, x, out *float64)

//go:noescape
func forwardTriangle256(tri, row *float64)

//go:noescape
func backwardRow256(l *float64, k int, x, out *float64)

//go:noescape
func backwardTriangle256(tri, row *float64)

// width is that of the registers used, in bits: 512, 256, or 0 for Go alone.
var width = widest()

func widest() int {
	switch {
	case cpu.X86.HasAVX512F && cpu.X86.HasAVX512DQ:
		return 512
	case cpu.X86.HasAVX2 && cpu.X86.HasFMA:
		return 256
	}
	return 0
}

func sweepUpdate(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	switch width {
	case 512:
		sweepUpdate512(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
	case 256:
		sweepUpdate256(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
	default:
		sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
	}
}

func sweepFresh(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	switch width {
	case 512:
		sweepFresh512(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
	case 256:
		sweepFresh256(&c[0], ldc, &a[0], stride, blocks, &b[0], k)
	default:
		sweepFreshGo(c, ldc, a, stride, blocks, b, k)
	}
}

func sweepSolve(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	switch width {
	case 512:
		sweepSolve512(&c[0], ldc, &a[0], stride, blocks, &b[0], k, &tri[0])
	case 256:
		sweepSolve256(&c[0], ldc, &a[0], stride, blocks, &b[0], k, &tri[0])
	default:
		sweepSolveGo(c, ldc, a, stride, blocks, b, k, tri)
	}
}

func factorBlock(c []float64, ldc int, tri []float64, floor []float64) int {
	if width == 512 {
		return factorBlock512(&c[0], ldc, &tri[0], &floor[0])
	}
	return factorBlockGo(c, ldc, tri, floor)
}

func forwardRows(l []float64, stride, blocks, k int, x, out []float64) {
	switch width {
	case 512:
		forwardRows512(&l[0], stride, blocks, k, &x[0], &out[0])
	case 256:
		forwardRows256(&l[0], stride, blocks, k, &x[0], &out[0])
	default:
		forwardRowsGo(l, stride, blocks, k, x, out)
	}
}

func forwardTriangle(tri, row []float64) {
	switch width {
	case 512:
		forwardTriangle512(&tri[0], &row[0])
	case 256:
		forwardTriangle256(&tri[0], &row[0])
	default:
		forwardTriangleGo(tri, row)
	}
}

func backwardRow(l []float64, k int, x, out []float64) {
	switch width {
	case 512:
		backwardRow512(&l[0], k, &x[0], &out[0])
	case 256:
		backwardRow256(&l[0], k, &x[0], &out[0])
	default:
		backwardRowGo(l, k, x, out)
	}
}

func backwardTriangle(tri, row []float64) {
	switch width {
	case 512:
		backwardTriangle512(&tri[0], &row[0])
	case 256:
		backwardTriangle256(&tri[0], &row[0])
	default:
		backwardTriangleGo(tri, row)
	}
}

func addBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	if width == 512 {
		addBlock512(&dst[0], ldd, &src[0], lds, rows, cols, shrink)
		return
	}
	addBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func setBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	if width == 512 {
		setBlock512(&dst[0], ldd, &src[0], lds, rows, cols, shrink)
		return
	}
	setBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func gatherRows(dst, x []float64, nodes []int32, dof int) {
	if width == 512 && len(nodes) > 0 {
		gatherRows512(&dst[0], &x[0], &nodes[0], len(nodes), dof)
		return
	}
	gatherRowsGo(dst, x, nodes, dof)
}

func scatterRows(x, src []float64, nodes []int32, dof int) {
	if width == 512 && len(nodes) > 0 {
		scatterRows512(&x[0], &src[0], &nodes[0], len(nodes), dof)
		return
	}
	scatterRowsGo(x, src, nodes, dof)
}

func scatterAddRows(x, src []float64, nodes []int32, dof int) {
	if width == 512 && len(nodes) > 0 {
		scatterAddRows512(&x[0], &src[0], &nodes[0], len(nodes), dof)
		return
	}
	scatterAddRowsGo(x, src, nodes, dof)
}
