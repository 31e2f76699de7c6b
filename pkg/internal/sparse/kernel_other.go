//go:build !amd64 || purego

package sparse

// width is that of the registers used: none but those of Go.
var width = 0

func sweepUpdate(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
}

func sweepFresh(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	sweepFreshGo(c, ldc, a, stride, blocks, b, k)
}

func sweepSolve(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	sweepSolveGo(c, ldc, a, stride, blocks, b, k, tri)
}

func factorBlock(c []float64, ldc int, tri []float64, floor []float64) int {
	return factorBlockGo(c, ldc, tri, floor)
}

func forwardRows(l []float64, stride, blocks, k int, x, out []float64) {
	forwardRowsGo(l, stride, blocks, k, x, out)
}

func forwardTriangle(tri, row []float64) { forwardTriangleGo(tri, row) }

func backwardRow(l []float64, k int, x, out []float64) { backwardRowGo(l, k, x, out) }

func backwardTriangle(tri, row []float64) { backwardTriangleGo(tri, row) }

func addBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	addBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func setBlock(dst []float64, ldd int, src []float64, lds, rows, cols, shrink int) {
	setBlockGo(dst, ldd, src, lds, rows, cols, shrink)
}

func gatherRows(dst, x []float64, nodes []int32, dof int)     { gatherRowsGo(dst, x, nodes, dof) }
func scatterRows(x, src []float64, nodes []int32, dof int)    { scatterRowsGo(x, src, nodes, dof) }
func scatterAddRows(x, src []float64, nodes []int32, dof int) { scatterAddRowsGo(x, src, nodes, dof) }
