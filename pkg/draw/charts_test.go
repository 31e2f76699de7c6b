package draw

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// historyTest is a made-up year: two kinds of piece follow a season, one of
// them late, and a joint feels the difference.
func historyTest() []Series {
	var days, field, border, joint, cup []float64
	for d := 0.0; d <= 365; d++ {
		s := math.Sin(2 * math.Pi * (d - 20) / 365)
		late := math.Sin(2 * math.Pi * (d - 75) / 365)
		days = append(days, d)
		field = append(field, 7.6+2.1*s+0.2*math.Sin(d/3))
		border = append(border, 7.7+1.3*late)
		joint = append(joint, math.Abs(0.7*s-0.5*late)+0.02*math.Sin(d/3)+0.1)
		cup = append(cup, 0.25*math.Sin(2*math.Pi*d/365)*s)
	}
	return []Series{
		{Panel: "Moisture, mean of the thickness", Unit: "% MC", Name: "sugar maple, end grain", Days: days, Values: field},
		{Panel: "Moisture, mean of the thickness", Unit: "% MC", Name: "black walnut, long grain", Days: days, Values: border},
		{Panel: "Worst joint", Name: "left1|r3c1", Days: days, Values: joint, Utilisation: true},
		{Panel: "Cup over the width", Unit: "mm", Name: "cup", Days: days, Values: cup},
	}
}

// profilesTest is made-up wetting from below of two kinds of piece.
func profilesTest() []Profile {
	var out []Profile
	for _, k := range []struct {
		name string
		d    float64 // mm²/day
	}{{"sugar maple, end grain", 120}, {"black walnut, long grain", 10}} {
		for _, t := range []float64{0, 0.125, 0.5, 1, 3, 7} {
			p := Profile{Panel: k.name, Days: t}
			for z := 0.0; z <= 40; z++ {
				m := 7.5
				if t > 0 {
					m += 17 * math.Erfc(z/(2*math.Sqrt(k.d*t)))
				}
				p.Z, p.MC = append(p.Z, z), append(p.MC, m)
			}
			out = append(out, p)
		}
	}
	return out
}

func moveTest(_ int, p layout.XY) layout.XY {
	x, y := p[0]-190, p[1]-130
	return layout.XY{-0.003 * x * (1 - 0.5*math.Abs(y)/130), -0.004*y + 0.000006*x*x}
}

func gridTest() Grid {
	var g Grid
	for i := range 39 {
		g.X = append(g.X, float64(i)*10)
	}
	for j := range 31 {
		g.Y = append(g.Y, float64(j)*10)
		var z []float64
		for _, x := range g.X {
			a, b := (x-190)/190, (float64(j)*10-150)/150
			z = append(z, 0.62*b*b+0.21*a*a+0.09*a*b)
		}
		g.Z = append(g.Z, z)
	}
	return g
}

func sliceTest(turn string) SlicePlan {
	pith := xy{12, -60}
	return SlicePlan{Title: "Ribbon board", Subtitle: "How the field is built", Height: 38, Thickness: 40, Count: 12, Turn: turn,
		Strips: []Strip{
			{Name: "sugar maple", Colour: "#e9d5b0", Width: 40, Ring: 60},
			{Name: "black walnut", Colour: "#6b4a34", Width: 20, Ring: 10},
			{Name: "black cherry", Colour: "#b9764a", Width: 45, Pith: &pith},
			{Name: "sugar maple", Colour: "#e9d5b0", Width: 15, Ring: 90},
			{Name: "padauk", Colour: "#a8432d", Width: 30, Ring: -35},
		}}
}
