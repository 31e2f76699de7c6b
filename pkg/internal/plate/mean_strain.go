package plate

import "math"

// MeanStrain is how a displacement of the membrane changes a board's size.
type MeanStrain struct {
	Exx, Eyy, Gxy float64 // mean strains: the best straight line through the displacements over the area
	Width, Height float64 // mm, change of the extent in x and in y with the mean rotation taken out
}

// MeanStrain measures a displacement [mm] of the membrane.
func (p *Model) MeanStrain(x []float64) MeanStrain {
	g := p.gradient(x)
	m := MeanStrain{Exx: g[0][0], Eyy: g[1][1], Gxy: g[0][1] + g[1][0]}
	m.Width, m.Height = p.Extent(p.Rim(x))
	return m
}

// gradient is ∂u/∂x, ∂u/∂y; ∂v/∂x, ∂v/∂y of the best straight line over the area.
func (p *Model) gradient(x []float64) (g [2][2]float64) {
	f := p.areaFit()
	for k := range g {
		c := f.fit(x, 2, k, &f.first)
		g[k] = [2]float64{c[1] / f.sx, c[2] / f.sy}
	}
	return g
}

// Rim gives u, v [mm] of every node on the rim with the mean rotation taken out.
// It is linear in the displacement, so that the rim of a sum is the sum of rims.
func (p *Model) Rim(x []float64) []float64 {
	f := p.areaFit()
	g := p.gradient(x)
	turn := (g[1][0] - g[0][1]) / 2
	out := make([]float64, 0, 2*len(f.rim))
	for _, n := range f.rim {
		q := p.Mesh.Nodes[n]
		out = append(out, x[2*n]+turn*(q[1]-f.centre[1]), x[2*n+1]-turn*(q[0]-f.centre[0]))
	}
	return out
}

// Extent gives the change [mm] of the board's extent in x and in y when its rim
// moves as Rim tells: what a sliding square measures, the bulge of a side with it.
func (p *Model) Extent(rim []float64) (width, height float64) {
	var size [2]float64
	for k := range size {
		low, high, more := p.Farthest(rim, k)
		size[k] = rim[2*high+k] - rim[2*low+k] + more
	}
	return size[0], size[1]
}

// Farthest gives the places on the rim, by number in the order of Rim, that lie
// furthest down and up along an axis (0 x, 1 y) when the rim moves so, and by how much
// further apart than the board is long [mm] they lay before: nothing or less.
func (p *Model) Farthest(rim []float64, axis int) (low, high int, more float64) {
	lo, hi, lo0, hi0 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	nodes := p.areaFit().rim
	for i, n := range nodes {
		at := p.Mesh.Nodes[n][axis]
		now := at + rim[2*i+axis]
		if now < lo {
			lo, low = now, i
		}
		if now > hi {
			hi, high = now, i
		}
		lo0, hi0 = min(lo0, at), max(hi0, at)
	}
	return low, high, p.Mesh.Nodes[nodes[high]][axis] - p.Mesh.Nodes[nodes[low]][axis] - (hi0 - lo0)
}
