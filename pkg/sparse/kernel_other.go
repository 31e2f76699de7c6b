//go:build !amd64 || purego

package sparse

func sweepUpdate(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
}

func sweepSolve(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	sweepSolveGo(c, ldc, a, stride, blocks, b, k, tri)
}

func forward(l []float64, stride, top, all, ne int, x []float64) {
	forwardGo(l, stride, top, all, ne, x)
}

func backward(l []float64, stride, top, all int, x []float64) {
	backwardGo(l, stride, top, all, x)
}

func addBlock(dst []float64, ldd int, src []float64, lds, rows, cols int) {
	addBlockGo(dst, ldd, src, lds, rows, cols)
}
