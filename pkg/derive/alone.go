package derive

import (
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// alone is what a piece would do by itself along a direction t of the board's plane:
// its free strain for a change of bound water, and its modulus. along is what runs that
// way, in words.
func (b *base) alone(piece int, letter string, t [2]float64, along string, change Number) (strain, modulus Number) {
	pc, sp := &b.m.Board.Pieces[piece], b.m.Sides[piece].Species
	rate := b.m.Rate(piece)
	var rates [3]Number
	for a, axis := range axes {
		shrink := sp.LongitudinalShrinkage()
		switch axis {
		case "R":
			shrink = sp.ShrinkR
		case "T":
			shrink = sp.ShrinkT
		}
		sym := axis + letter
		rates[a] = b.holds("strain of "+pc.ID+" for one % of moisture along "+axis, "β_"+sym+" = S_"+sym+"/(100·F_"+letter+" − S_"+sym+"·(F_"+letter+" − min(m_0"+letter+", F_"+letter+")))",
			"1/% MC", rate[a], []string{"WH190-EQ13-3"}, "", looked("S_"+sym, shrink, "% of the green size"), looked("F_"+letter, sp.FSPValue(), "% MC"), given("m_0"+letter, pc.Moisture, "% MC", "when glued"))
	}
	cos := b.directions(piece, letter, t, along)
	text := "ε_" + letter + " = " + change.Symbol + "·("
	in := []Number{change}
	for a, axis := range axes {
		if cos[a].Value == 0 {
			continue
		}
		if len(in) > 1 {
			text += " + "
		}
		text += "β_" + axis + letter + "·c_" + axis + letter + "^2"
		in = append(in, rates[a], cos[a])
	}
	strain = b.reckon("free strain of "+b.called(piece)+" along "+along, text+")", "1", []string{"TENSOR"}, in...)
	return strain, b.stiffness(piece, letter, t, along, cos)
}

// axes of wood: along the fibres, along the rays, along the rings.
var axes = [3]string{"L", "R", "T"}

// directions are the cosines between a direction and the axes L, R and T of a piece.
func (b *base) directions(piece int, letter string, t [2]float64, what string) (c [3]Number) {
	pc := &b.m.Board.Pieces[piece]
	f := b.m.Sides[piece].Frame
	along := given("φ", math.Atan2(t[1], t[0])*180/math.Pi, "°", "direction of "+what+" from the board's x")
	cosine := func(v [3]float64) float64 { return v[0]*t[0] + v[1]*t[1] }
	name := func(axis string) string { return "cosine between " + what + " and " + axis + " of " + pc.ID }
	if pc.Pith != nil {
		for a, v := range [3][3]float64{f.L, f.R, f.T} {
			c[a] = b.solved(name(axes[a]), "c_"+axes[a]+letter, "1", cosine(v), []string{"TENSOR"}, "rings curve about the pith; taken at the middle of the piece")
		}
		return c
	}
	ring := given("θ_"+letter, pc.RingAngle, "°", "ring angle of "+pc.ID)
	turned := func(axis int, v [3]float64, text string, in ...Number) {
		c[axis] = b.holds(name(axes[axis]), "c_"+axes[axis]+letter+" = "+text, "1", cosine(v), []string{"TENSOR"}, "", in...)
	}
	if pc.Grain.Up {
		c[0] = given("c_L"+letter, 0, "1", "fibres stand up")
		turned(1, f.R, "cos(θ_"+letter+" − φ)", ring, along)
		turned(2, f.T, "sin(φ − θ_"+letter+")", ring, along)
		return c
	}
	fibres := given("α_"+letter, pc.Grain.Angle, "°", "direction of the fibres of "+pc.ID)
	turned(0, f.L, "cos(α_"+letter+" − φ)", fibres, along)
	turned(1, f.R, "sin(θ_"+letter+")·sin(φ − α_"+letter+")", ring, fibres, along)
	turned(2, f.T, "cos(θ_"+letter+")·sin(α_"+letter+" − φ)", ring, fibres, along)
	return c
}

// stiffness is the modulus of a piece along a direction, every other stress zero.
func (b *base) stiffness(piece int, letter string, t [2]float64, along string, c [3]Number) Number {
	pc, side := &b.m.Board.Pieces[piece], &b.m.Sides[piece]
	e, err := side.Species.Elastic(pc.Moisture)
	if err != nil {
		b.fail(err) // such a board was refused before it was solved
		return Number{}
	}
	constant := func(name, symbol string, v float64, unit string) Number {
		return Number{Symbol: symbol + letter, Value: v, Unit: unit, Source: e.Source[name], Status: string(e.Status[name]), Note: "at the moisture when glued"}
	}
	text, in := "E_"+letter+" = 1/(", []Number{}
	term := func(t string, n ...Number) {
		if len(in) > 0 {
			text += " + "
		}
		text += t
		in = append(in, n...)
	}
	modulus := [3]Number{constant("EL", "E_L", e.EL, "MPa"), constant("ER", "E_R", e.ER, "MPa"), constant("ET", "E_T", e.ET, "MPa")}
	for a, axis := range axes {
		if c[a].Value != 0 {
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
		if c[p.a].Value == 0 || c[p.b].Value == 0 {
			continue
		}
		one, two := axes[p.a]+letter, axes[p.b]+letter
		term("c_"+one+"^2·c_"+two+"^2·(1/"+p.ga+letter+" − 2·"+p.na+letter+"/E_"+one+")", p.g, p.nu)
	}
	return b.holds("modulus of "+b.called(piece)+" along "+along, text+")", "MPa", modulusAlong(e, side.Frame, t), []string{"TENSOR"}, "", in...)
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
