package sparse

import "math"

// The dense work of a front is done on row blocks of 8. Kept columns of L are
// stored block by block: block b holds rows 8b..8b+7, and in it each column is
// 8 numbers in a row (entry (i, j) at 8j + i%8 from where the block starts; blocks
// of one sweep lie stride apart).
// The same storage serves as either side of a product L·Lᵀ and in both
// directions of a solve. Diagonal entries are stored inverted.
//
// sweepUpdate subtracts A·Bᵀ from the first `blocks` row blocks of 8 columns c
// (column distance ldc): A is `blocks` consecutive row blocks, B one, k columns
// are used.
//
// sweepFresh writes minus A·Bᵀ instead: c need not hold numbers.
//
// sweepSolve does the same as sweepUpdate and then solves for 8 new columns of A against the
// triangle tri (8×8, column by column, diagonal inverted); they are written to
// A behind its first k columns.

func sweepUpdateGo(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	for r := range blocks {
		ar := a[r*stride : r*stride+8*k]
		for j := range 8 {
			var s [8]float64
			for t := range k {
				v := b[8*t+j]
				col := ar[8*t : 8*t+8 : 8*t+8]
				s[0] += col[0] * v
				s[1] += col[1] * v
				s[2] += col[2] * v
				s[3] += col[3] * v
				s[4] += col[4] * v
				s[5] += col[5] * v
				s[6] += col[6] * v
				s[7] += col[7] * v
			}
			out := c[8*r+j*ldc : 8*r+j*ldc+8]
			for i := range 8 {
				out[i] -= s[i]
			}
		}
	}
}

func sweepFreshGo(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int) {
	for j := range 8 {
		clear(c[j*ldc : j*ldc+8*blocks])
	}
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
}

func sweepSolveGo(c []float64, ldc int, a []float64, stride, blocks int, b []float64, k int, tri []float64) {
	sweepUpdateGo(c, ldc, a, stride, blocks, b, k)
	for r := range blocks {
		out := a[r*stride+8*k : r*stride+8*k+64]
		for j := range 8 {
			col := c[8*r+j*ldc : 8*r+j*ldc+8]
			for i := range 8 {
				v := col[i]
				for t := range j {
					v -= out[8*t+i] * tri[8*t+j]
				}
				out[8*j+i] = v * tri[9*j]
			}
		}
	}
}

// factorBlockGo factorises the 8×8 block at c (column distance ldc, lower
// triangle) into tri: column by column, zero above the diagonal, diagonal
// inverted. It returns -1, or the first column whose pivot is not above its
// floor; the pivot is then in tri[0].
func factorBlockGo(c []float64, ldc int, tri []float64, floor []float64) int {
	for j := range 8 {
		col := c[j*ldc : j*ldc+8]
		out := tri[8*j : 8*j+8]
		for i := range j {
			out[i] = 0
		}
		d := col[j]
		if !(d > floor[j]) {
			tri[0] = d
			return j
		}
		inv := 1 / math.Sqrt(d)
		out[j] = inv
		for i := j + 1; i < 8; i++ {
			out[i] = col[i] * inv
		}
		for t := j + 1; t < 8; t++ {
			v := out[t]
			next := c[t*ldc : t*ldc+8]
			for i := t; i < 8; i++ {
				next[i] -= out[i] * v
			}
		}
	}
	return -1
}

// forward solves L11·y = x for 8 sides at once and subtracts L21·y: x holds the
// rows of the front, 8 sides in a row.
func forward(p *pattern, l, x []float64) {
	top := p.ne8 / 8
	for r := range top {
		at, stride := p.panelAt(r)
		if r > 0 {
			forwardRows(l[at:], stride, 1, 8*r, x, x[64*r:])
		}
		forwardTriangle(l[at+64*r:], x[64*r:])
	}
	if p.panels > top && p.ne > 0 {
		at, stride := p.panelAt(top)
		forwardRows(l[at:], stride, p.panels-top, p.ne, x, x[64*top:])
	}
}

// backward solves L11ᵀ·z = y - L21ᵀ·x in place of the interior rows. It goes
// through the row blocks of L21 in the order of memory, which is what bounds it.
func backward(p *pattern, l, x []float64) {
	if p.ne == 0 {
		return
	}
	top := p.ne8 / 8
	for q := top; q < p.panels; q++ {
		at, _ := p.panelAt(q)
		backwardRow(l[at:], p.ne, x[64*q:], x)
	}
	for r := top - 1; r >= 0; r-- {
		at, _ := p.panelAt(r)
		backwardTriangle(l[at+64*r:], x[64*r:])
		if r > 0 {
			backwardRow(l[at:], 8*r, x[64*r:], x)
		}
	}
}

// forwardRowsGo subtracts L·x from out: blocks of 8 rows, k columns, 8 sides.
func forwardRowsGo(l []float64, stride, blocks, k int, x, out []float64) {
	for r := range blocks {
		for i := range 8 {
			row := out[64*r+8*i : 64*r+8*i+8]
			for t := range k {
				v := l[r*stride+8*t+i]
				y := x[8*t : 8*t+8 : 8*t+8]
				for s := range 8 {
					row[s] -= v * y[s]
				}
			}
		}
	}
}

// forwardTriangleGo solves the triangle for the 8 rows of row.
func forwardTriangleGo(tri, row []float64) {
	for i := range 8 {
		out := row[8*i : 8*i+8]
		for t := range i {
			v := tri[8*t+i]
			for s := range 8 {
				out[s] -= v * row[8*t+s]
			}
		}
		for s := range 8 {
			out[s] *= tri[9*i]
		}
	}
}

// backwardRowGo subtracts Lᵀ·x from out: k columns of one block of 8 rows.
func backwardRowGo(l []float64, k int, x, out []float64) {
	for j := range k {
		row := out[8*j : 8*j+8]
		for i := range 8 {
			v := l[8*j+i]
			y := x[8*i : 8*i+8 : 8*i+8]
			for s := range 8 {
				row[s] -= v * y[s]
			}
		}
	}
}

// backwardTriangleGo solves the transposed triangle.
func backwardTriangleGo(tri, row []float64) {
	for j := 7; j >= 0; j-- {
		out := row[8*j : 8*j+8]
		for i := j + 1; i < 8; i++ {
			v := tri[8*j+i]
			for s := range 8 {
				out[s] -= v * row[8*i+s]
			}
		}
		for s := range 8 {
			out[s] *= tri[9*j]
		}
	}
}

// addBlockGo adds rows×cols numbers of src to dst, both column by column. With
// shrink 1 each column starts one lower and is one shorter than the one before:
// the lower triangle of a block.
func addBlockGo(dst []float64, ldd int, src []float64, lds int, rows, cols, shrink int) {
	for j := range cols {
		n := rows - j*shrink
		d, s := dst[j*(ldd+shrink):][:n], src[j*(lds+shrink):][:n]
		for i, v := range s {
			d[i] += v
		}
	}
}

// setBlockGo writes where addBlockGo adds.
func setBlockGo(dst []float64, ldd int, src []float64, lds int, rows, cols, shrink int) {
	for j := range cols {
		n := rows - j*shrink
		copy(dst[j*(ldd+shrink):][:n], src[j*(lds+shrink):][:n])
	}
}

// The sides of a solve lie in x eight in a row, dof rows a node.

func gatherRowsGo(dst, x []float64, nodes []int32, dof int) {
	width := 8 * dof
	for i, n := range nodes {
		copy(dst[i*width:i*width+width], x[int(n)*width:])
	}
}

func scatterRowsGo(x, src []float64, nodes []int32, dof int) {
	width := 8 * dof
	for i, n := range nodes {
		copy(x[int(n)*width:int(n)*width+width], src[i*width:])
	}
}

func scatterAddRowsGo(x, src []float64, nodes []int32, dof int) {
	width := 8 * dof
	for i, n := range nodes {
		addTo(x[int(n)*width:int(n)*width+width], src[i*width:i*width+width])
	}
}
