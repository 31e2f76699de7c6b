package plate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A surface of second order and a straight movement come back exactly, however
// few corners the map has and on whatever conic they lie.
func TestFitsGiveBackWhatTheyAreMadeFor(t *testing.T) {
	for name, outlines := range map[string][]string{
		"rectangle":        {rect(0, 0, 300, 200)},
		"strip":            {rect(0, 0, 300, 5)},
		"distorted":        {"[[0,0],[64,0],[71,38],[0,52]]", "[[64,0],[130,0],[130,38],[71,38]]"},
		"triangle":         {"[[0,0],[90,0],[0,50]]"},
		"hexagon":          {"[[30,0],[90,0],[120,52],[90,104],[30,104],[0,52]]"},
		"five corners":     {"[[0,0],[90,0],[110,45],[60,80],[0,52]]"},
		"planks":           {rect(0, 0, 300, 100), rect(0, 100, 300, 200)},
		"far from a frame": {rect(0, 0, 20, 20), rect(20, 0, 40, 20)},
	} {
		b := pieces(t, 20, outlines...)
		p := model(t, b, same(maple.wood(), len(outlines)), mesh.Options{}, Options{})
		w, u := make([]float64, 3*len(p.Mesh.Nodes)), make([]float64, 2*len(p.Mesh.Nodes))
		for i, q := range p.Mesh.Nodes {
			w[3*i] = 3 - 0.2*q[0] + 0.1*q[1] + 1e-4*q[0]*q[0]/2 - 2e-4*q[0]*q[1] + 3e-4*q[1]*q[1]/2
			u[2*i], u[2*i+1] = 1+0.002*q[0]+0.005*q[1], -0.003*q[0]-0.004*q[1]
		}
		k := p.Curves(w)
		assert.InDelta(t, 1e-4, k.XX, 1e-12, name)
		assert.InDelta(t, -2e-4, k.XY, 1e-12, name)
		assert.InDelta(t, 3e-4, k.YY, 1e-12, name)
		m := p.MeanStrain(u)
		assert.InDelta(t, 0.002, m.Exx, 1e-12, name)
		assert.InDelta(t, -0.004, m.Eyy, 1e-12, name)
		assert.InDelta(t, 0.002, m.Gxy, 1e-12, name)
	}
}

// The fit weighs every square millimetre alike: against the mean slope and the
// curvature of a made-up bump, integrated here over a fine grid of places.
func TestFitsWeighTheArea(t *testing.T) {
	bump := func(q layout.XY) float64 { return math.Sin(q[0]/60) * math.Cos(q[1]/90) }
	b := pieces(t, 20, rect(0, 0, 40, 100), rect(40, 0, 200, 30), rect(40, 30, 200, 100))
	p := model(t, b, same(maple.wood(), 3), mesh.Options{Most: 4}, Options{})
	w := make([]float64, 3*len(p.Mesh.Nodes))
	for i, q := range p.Mesh.Nodes {
		w[3*i] = bump(q)
	}
	// On a rectangle the least squares curvature is the mean of w against the
	// second Legendre polynomial: w ≈ … + c·P₂(ξ), P₂ = (3ξ²−1)/2, c = 5·mean(w·P₂).
	const n = 2000
	var xx, yy, xy float64
	for i := range n {
		xi := (2*float64(i) + 1 - n) / n
		for j := range n / 2 {
			et := (4*float64(j) + 2 - n) / n
			v := bump(layout.XY{100 * (1 + xi), 50 * (1 + et)}) / (n * n / 2)
			xx, yy, xy = xx+5*v*(3*xi*xi-1)/2, yy+5*v*(3*et*et-1)/2, xy+9*v*xi*et
		}
	}
	k := p.Curves(w)
	assert.InEpsilon(t, 3*xx/(100*100), k.XX, 1e-4)
	assert.InEpsilon(t, 3*yy/(50*50), k.YY, 1e-4)
	assert.InEpsilon(t, xy/(100*50), k.XY, 1e-4)
}
