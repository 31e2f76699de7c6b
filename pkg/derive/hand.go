package derive

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// stiffness is the modulus of each side along the joint, every other stress zero.
func (d *joint) stiffness() {
	for s, letter := range sides {
		i := d.side[s]
		pc, side := &d.m.Board.Pieces[i], &d.m.Sides[i]
		e, err := side.Species.Elastic(pc.Moisture)
		if err != nil {
			d.err = err // such a board was refused before it was solved
			return
		}
		constant := func(name, symbol string, v float64, unit string) Number {
			return Number{Symbol: symbol + letter, Value: v, Unit: unit, Source: e.Source[name], Status: string(e.Status[name]), Note: "at the moisture when glued"}
		}
		c := [3]Number{}
		cos := [3]float64{}
		for a, v := range [3][3]float64{side.Frame.L, side.Frame.R, side.Frame.T} {
			cos[a] = v[0]*d.t[0] + v[1]*d.t[1]
			c[a] = Number{Symbol: "c_" + "LRT"[a:a+1] + letter, Value: cos[a], Unit: "1", Step: "c_" + "LRT"[a:a+1] + letter}
		}
		c[0].Step = "" // given where the fibres stand up
		text, in := "E_"+letter+" = 1/(", []Number{}
		term := func(t string, n ...Number) {
			if len(in) > 0 {
				text += " + "
			}
			text += t
			in = append(in, n...)
		}
		modulus := [3]Number{constant("EL", "E_L", e.EL, "MPa"), constant("ER", "E_R", e.ER, "MPa"), constant("ET", "E_T", e.ET, "MPa")}
		for a, axis := range [3]string{"L", "R", "T"} {
			if cos[a] != 0 {
				term("c_"+axis+letter+"^4/E_"+axis+letter, c[a], modulus[a])
			}
		}
		for _, p := range []struct {
			a, b   int
			g, nu  Number
			ga, na string
		}{
			{1, 2, constant("GRT", "G_RT", e.GRT, "MPa"), constant("NuRT", "ν_RT", e.NuRT, "1"), "G_RT", "ν_RT"},
			{0, 2, constant("GLT", "G_LT", e.GLT, "MPa"), constant("NuLT", "ν_LT", e.NuLT, "1"), "G_LT", "ν_LT"},
			{0, 1, constant("GLR", "G_LR", e.GLR, "MPa"), constant("NuLR", "ν_LR", e.NuLR, "1"), "G_LR", "ν_LR"},
		} {
			if cos[p.a] == 0 || cos[p.b] == 0 {
				continue
			}
			a, b := "LRT"[p.a:p.a+1]+letter, "LRT"[p.b:p.b+1]+letter
			term("c_"+a+"^2·c_"+b+"^2·(1/"+p.ga+letter+" − 2·"+p.na+letter+"/E_"+a+")", p.g, p.nu)
		}
		d.modulus[s] = d.holds("modulus of "+d.called(s)+" along the joint", text+")", "MPa", modulusAlong(e, side.Frame, d.t), []string{"TENSOR"}, "", in...)
	}
}

// modulusAlong is Young's modulus [MPa] along a unit vector of the board's plane.
func modulusAlong(e wood.Elastic, f wood.Frame, t [2]float64) float64 {
	s := e.BoardCompliance(f)
	x, y, xy := t[0]*t[0], t[1]*t[1], t[0]*t[1]
	k := [3]float64{x, y, xy}
	b := [3][3]float64{{s[0][0], s[0][1], s[0][5]}, {s[1][0], s[1][1], s[1][5]}, {s[5][0], s[5][1], s[5][5]}}
	sum := 0.0
	for i := range k {
		for j := range k {
			sum += k[i] * b[i][j] * k[j]
		}
	}
	return 1 / sum
}

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
