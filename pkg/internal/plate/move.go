package plate

import "github.com/tanrad/tanrad/pkg/layout"

// Displacement gives u, v (membrane) or w, φx, φy (bending) at a vertex of the
// partition, mm and rad.
func (p *Model) Displacement(mode Mode, x []float64, vertex int) []float64 {
	d := mode.dof()
	return x[vertex*d : (vertex+1)*d]
}

// Move is the best straight-line description of a displacement of the membrane:
// the mean strains over the board's corners and joints, and what remains.
type Move struct {
	Exx, Eyy, Gxy float64
	Width, Height float64 // mm, change of the extent in x and in y with the mean rotation taken out
}

// Moves measures how the board's size changes from a displacement [mm] of the membrane.
func (p *Model) Moves(x []float64) Move {
	v := p.Board.Partition.Vertices
	var c, cu [2]float64
	for i := range v {
		for k := 0; k < 2; k++ {
			c[k] += v[i][k] / float64(len(v))
			cu[k] += x[2*i+k] / float64(len(v))
		}
	}
	// Least squares u ≈ a + G·(x − c): normal equations of two 2×2 systems.
	var sxx, sxy, syy float64
	var bu, bv [2]float64
	for i := range v {
		dx, dy := v[i][0]-c[0], v[i][1]-c[1]
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
		bu[0], bu[1] = bu[0]+(x[2*i]-cu[0])*dx, bu[1]+(x[2*i]-cu[0])*dy
		bv[0], bv[1] = bv[0]+(x[2*i+1]-cu[1])*dx, bv[1]+(x[2*i+1]-cu[1])*dy
	}
	det := sxx*syy - sxy*sxy
	ux, uy := (bu[0]*syy-bu[1]*sxy)/det, (bu[1]*sxx-bu[0]*sxy)/det
	vx, vy := (bv[0]*syy-bv[1]*sxy)/det, (bv[1]*sxx-bv[0]*sxy)/det
	m := Move{Exx: ux, Eyy: vy, Gxy: uy + vx}
	rot := (vx - uy) / 2
	lo, hi := [2]float64{}, [2]float64{}
	var lo0, hi0 [2]float64
	for i := range v {
		q := layout.XY{v[i][0] + x[2*i] + rot*(v[i][1]-c[1]), v[i][1] + x[2*i+1] - rot*(v[i][0]-c[0])}
		for k := 0; k < 2; k++ {
			if i == 0 || q[k] < lo[k] {
				lo[k] = q[k]
			}
			if i == 0 || q[k] > hi[k] {
				hi[k] = q[k]
			}
			if i == 0 || v[i][k] < lo0[k] {
				lo0[k] = v[i][k]
			}
			if i == 0 || v[i][k] > hi0[k] {
				hi0[k] = v[i][k]
			}
		}
	}
	m.Width, m.Height = (hi[0]-lo[0])-(hi0[0]-lo0[0]), (hi[1]-lo[1])-(hi0[1]-lo0[1])
	return m
}
