package derive

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// hand is what comes out of the sum by hand.
type hand struct{ shear, straight, free Number }

// byHand takes the two pieces as strips of their own depth that the joint holds to
// one length: equations (1) and (2) of the package.
func (d *joint) byHand() hand {
	jt := &d.m.Board.Joints[d.index]
	for s, symbol := range [2]string{"a", "b"} {
		d.extent[s] = given(symbol, reach(d.m.Board.Pieces[d.side[s]].Outline, d.n), "mm", "how deep "+d.m.Board.Pieces[d.side[s]].ID+" reaches across the joint")
	}
	length := given("l", jt.Length, "mm", "length of the joint")
	a, b := d.extent[0], d.extent[1]
	ea, eb := d.modulus[0], d.modulus[1]
	src := []string{"TIMOSHENKO25"}
	force := d.reckon("by hand: force the joint passes on, both held straight", "P = Δ/(1/(E_A·a) + 1/(E_B·b))", "N/mm", src, d.mismatch, ea, a, eb, b)
	d.reckon("by hand: stress along the joint in A", "σ_A = P/a", "MPa", nil, force, a)
	d.reckon("by hand: stress along the joint in B", "σ_B = −P/b", "MPa", nil, force, b)
	shear := d.reckon("by hand: mean shear over half the joint, which passes the force on", "τ = 2·P/l", "MPa", nil, force, length)
	straight := d.reckon("by hand: energy that opening the joint sets free, both held straight", "G_h = 500·P·Δ", "J/m²", src, force, d.mismatch)
	da := d.reckon("by hand: bending stiffness of A in the board's plane", "D_A = E_A·a^3/12", "N·mm", src, ea, a)
	db := d.reckon("by hand: bending stiffness of B in the board's plane", "D_B = E_B·b^3/12", "N·mm", src, eb, b)
	bowed := d.reckon("by hand: force when the pair is free to bow", "P_f = Δ/(1/(E_A·a) + 1/(E_B·b) + (a + b)^2/(4·(D_A + D_B)))", "N/mm", src, d.mismatch, ea, a, eb, b, da, db)
	free := d.reckon("by hand: energy when the pair is free to bow", "G_f = 500·P_f·Δ", "J/m²", src, bowed, d.mismatch)
	return hand{shear, straight, free}
}

// reach is how far an outline goes along a unit vector, mm.
func reach(outline []layout.XY, n [2]float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range outline {
		v := p[0]*n[0] + p[1]*n[1]
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return hi - lo
}
