package derive

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// mostKinds is how many kinds of piece a sum writes out.
const mostKinds = 12

// stress adds up what every kind of piece brings to the worst stretch, and holds it
// against what the weakest part bears.
func (d *joint) stress() Number {
	m, l := d.m, d.at.Load
	worst := m.Worst(d.index, l)
	jm := &m.Joints[d.index]
	limits := jm.Capacity.At(m.Scale(jm, l, worst.Level))
	of := m.StretchAt(d.index, worst.Window, worst.Level, l)
	of.Criterion = limits.Judge(worst.N, worst.T).Criterion
	n, t := d.tractions("on the worst stretch", l, &of)
	note := fmt.Sprintf("what gives: %s, %s; over %.3g mm", partNames[worst.Part], worst.Mode, jm.Intervals[worst.Window].To-jm.Intervals[worst.Window].From)
	return d.overStrength("stress over strength on the worst stretch", "S_w", worst.U, &of, note, n, t,
		func(shear bool) []Number { return d.printed(int(worst.Part), shear) })
}

// overStrength holds a mean traction against what a part bears; printed gives the
// figures that its strength rests on.
func (b *base) overStrength(name, symbol string, is float64, of *influence.Stretch, note string, n, t Number, printed func(shear bool) []Number) Number {
	law := &of.Criterion
	if law.Straight() {
		ft := b.bears("tension that it bears", "f_t", law.Tension(), printed(false))
		fv := b.bears("shear that it bears", "f_v", law.Shear(), printed(true))
		return b.holds(name, symbol+" = √((max(0, N)/f_t)^2 + (T/f_v)^2)", "1", is, []string{"TANRAD-EST"}, note, n, t, ft, fv)
	}
	slant := func(symbol string, v float64) Number {
		return b.solved("what a part with slanting fibres asks", symbol, "1/MPa", v, []string{"TENSOR"}, "the stress on the plane that holds the fibres over what it bears there")
	}
	return b.holds(name, symbol+" = √(max(0, o_N·N + o_T·T)^2 + (s_N·N + s_T·T)^2)", "1", is, []string{"TENSOR"}, note,
		n, t, slant("o_N", law.Open[0]), slant("o_T", law.Open[1]), slant("s_N", law.Slide[0]), slant("s_T", law.Slide[1]))
}

// even is the slope [% MC/mm] below which moisture is even through the thickness: round-off.
const even = 1e-13

var partNames = [3]string{"the wood of A", "the bond", "the wood of B"}

// bears is a strength at the moment, with the printed figure that it rests on.
func (b *base) bears(name, symbol string, is float64, printed []Number) Number {
	return b.solved(name, symbol, "MPa", is, []string{"WH190-T5-14"}, "the printed figure brought to the moisture of the moment, turned to the joint", printed...)
}

// printed are the figures in print behind a strength of the joint.
func (d *joint) printed(part int, shear bool) []Number {
	var out []Number
	for s, letter := range sides {
		if part == 0 && s == 1 || part == 2 && s == 0 {
			continue
		}
		out = append(out, d.strengthOf(d.side[s], letter, shear, part == 1)...)
	}
	return out
}

// strengthOf is the figure in print that the strength of a piece rests on.
func (b *base) strengthOf(piece int, letter string, shear, bond bool) []Number {
	property, symbol := "tension_perp", "f_90"
	switch {
	case shear && b.m.Board.Pieces[piece].Grain.Up && !bond:
		property, symbol = "rolling_shear", "f_r"
	case shear:
		property, symbol = "shear_parallel", "f_s"
	}
	if v, ok := b.m.Sides[piece].Strength.Values[property]; ok {
		return []Number{looked(symbol+letter, v, "MPa at 12 % MC")}
	}
	return nil
}

// tractions are opening stress and shear of a stretch, each as a sum.
func (b *base) tractions(where string, l *influence.Load, of *influence.Stretch) (n, t Number) {
	return b.opening(where, l, of),
		b.sum("shear "+where, "T", of.T, l, of, func(p influence.MeanTraction) float64 { return p.T })
}

// opening is the opening stress of a stretch as a sum.
func (b *base) opening(where string, l *influence.Load, of *influence.Stretch) Number {
	return b.sum("opening stress "+where, "N", of.N, l, of, func(p influence.MeanTraction) float64 { return p.N })
}

// sum is a traction as the sum of what every kind of piece brings, and every rest
// between two glue-ups.
func (b *base) sum(name, symbol string, is float64, l *influence.Load, by *influence.Stretch, of func(influence.MeanTraction) float64) Number {
	pulls := by.Kinds
	text, in := symbol+" = ", []Number{}
	left := is
	term := func(q, amount Number) {
		if len(in) > 0 {
			text += " + "
		}
		text += q.Symbol + "·" + amount.Symbol
		in = append(in, q, amount)
		left -= q.Value * amount.Value
	}
	for k := range pulls {
		if k == mostKinds {
			break
		}
		kind := b.m.Kinds[k].Name
		if v := of(pulls[k].Mean); v != 0 || len(pulls) == 1 {
			term(given(fmt.Sprintf("q_%s%d", symbol, k+1), v, "MPa/% MC", "solved: what one % in all "+kind+" brings here"),
				given(fmt.Sprintf("μ_%d", k+1), l.Mean[k], "% MC", "what stress remembers of "+kind))
		}
		if v := of(pulls[k].Slope); v != 0 && l.Slope != nil && math.Abs(l.Slope[k]) > even {
			term(given(fmt.Sprintf("b_%s%d", symbol, k+1), v, "MPa·mm/% MC", "solved: what one % a mm through all "+kind+" brings at this face"),
				given(fmt.Sprintf("g_%d", k+1), l.Slope[k], "% MC/mm", "slope through the thickness of "+kind))
		}
	}
	for k := range by.Rests {
		if v := of(by.Rests[k]); v != 0 && l.Locked != nil {
			stage := b.m.Board.Stages[by.After[k]].Name
			term(given(fmt.Sprintf("e_%s%d", symbol, k+1), v, "MPa", "solved: what the rest after "+stage+" brought what was glued by then"),
				given(fmt.Sprintf("k_%d", k+1), l.Locked[k], "1", "share of it that stress remembers"))
		}
	}
	if len(pulls) > mostKinds || len(in) == 0 {
		if len(in) > 0 {
			text += " + "
		}
		text += "r_" + symbol
		in = append(in, given("r_"+symbol, left, "MPa", "all other kinds of piece"))
	}
	return b.holds(name, text, "MPa", is, nil, "plane finite elements, one solution for each kind of piece", in...)
}

// criterion goes from stress and energy to v, and puts the sum by hand beside the solver.
func (d *joint) criterion(ctx context.Context, line *influence.LineMoment, h hand) (u Number, err error) {
	m := d.m
	d.line = line
	opening := d.weakerFracture(d.side[0], d.side[1])
	gi := opening.as("G_I")
	tough := m.ToughnessOf(d.index)
	gii := d.slidingTakes(tough.Slide, gi)
	whole, err := m.OverJoint(ctx, d.index, d.at.Load)
	if err != nil {
		return u, err
	}
	d.byHandCriterion(h, gii, whole)
	r := &d.line.Result
	note := "solved: its line opens from " + fmt.Sprintf("%.3g to %.3g mm", r.From, r.To)
	if d.line.State != d.at.State || d.line.Hour != d.at.Hour {
		note += ", " + d.line.State + fmt.Sprintf(" after %.3g hours", d.line.Hour)
	}
	s := d.solved("mean stress over strength on the stretch that opens", "S", "1", r.Stress, coupled, note, d.rim()...)
	if mean := m.ToughnessOn(d.line, r.From, r.To); math.Abs(mean.Open/tough.Open-1) > 1e-6 {
		tough = mean
		gi = d.solved("energy to open, mean over the stretch", "G_1", "J/m²", jPerM2*mean.Open, nil, "the stretch passes several woods, or a weak end; each weighs by its length", gi)
		gii = d.solved("energy to open by sliding, mean over the stretch", "G_2", "J/m²", jPerM2*mean.Slide, nil, "the same", gii)
	}
	v := d.runs(d.line, s, gi, gii, tough.Exponent)
	u = v
	if d.at.D.Crack == nil {
		u = d.holds("this joint: no more than its own stress, no more than its line", "u = min(S_w, v)", "1", d.at.D.U, coupled, "the line's crack lies elsewhere",
			Number{Symbol: "S_w", Value: m.Worst(d.index, d.at.Load).U, Unit: "1", Step: "S_w"}, v)
	}
	d.d.Compare = append(d.d.Compare, Comparison{What: "load over critical", Hand: d.handV(), Solver: u.Value, Unit: "1",
		Why: "by hand the whole joint opens at once; the solver finds the worst stretch, most often beside a corner"})
	return u, nil
}

// coupled are the works of the criterion.
var coupled = []string{"LEGUILLON02", "CORNETTI06"}

// slidingTakes is the energy to open by sliding, N/mm, as a multiple of that to open.
func (b *base) slidingTakes(slide float64, gi Number) Number {
	return b.solved("energy to open all of it by sliding", "G_II", "J/m²", jPerM2*slide, []string{gi.Source}, "a multiple of the energy to open", gi)
}

// runs goes from the energy that the worst stretch sets free to v; s is the mean stress
// over strength there, gi and gii what opening and sliding take.
func (b *base) runs(l *influence.LineMoment, s, gi, gii Number, exponent float64) Number {
	r := &l.Result
	g := b.solved("energy that opening it sets free", "G", "J/m²", jPerM2*r.Release, coupled, "solved: the board with the two lips parted; lips that touch slide only")
	share := given("s", r.Sliding, "1", "solved: share of sliding")
	power := given("η", exponent, "1", "exponent of the mixed-mode law")
	gc := b.holds("energy that it takes", "G_c = "+gi.Symbol+" + ("+gii.Symbol+" − "+gi.Symbol+")·s^η", "J/m²", jPerM2*r.Needed, []string{"BENZEGGAGH96"},
		"interpolated where the stretch ends between two nodes", gi, gii, share, power)
	e := b.holds("energy set free over energy it takes, as a load", "Q = √(G/G_c)", "1", r.Energy, coupled, "", g, gc)
	return b.holds("load over the load at which a crack starts and runs", "v = min(S, Q)", "1", r.V, coupled, "governed by "+string(r.Governs), s, e)
}

// rim is what the wood at the rim of the board brings to the end of a line there.
func (d *joint) rim() []Number {
	if !d.line.FromEnd(d.m) {
		return nil
	}
	stress, share, length := d.m.RimOf(d.line)
	out := []Number{d.solved("stress across the line at its end, where the rim runs ahead of the middle", "σ_r", "MPa", stress, []string{"CRANK75", "TANRAD-EST"},
		"followed in time: moisture along the line, held to the strain of the middle, crushed where it is pressed")}
	if share.V < 1 {
		out = append(out, looked("k_e", share, "of the strength of the bond"), given("l_e", length, "mm", "how far from its end the line is that weak"))
	}
	return out
}

const jPerM2 = 1000 // of one N/mm

// weakerFracture is the energy to open the weakest of some pieces.
func (b *base) weakerFracture(pieces ...int) Number {
	best := Number{Value: math.Inf(1)}
	for _, i := range pieces {
		if v := b.m.Sides[i].Species.FractureEnergy(0); v.V < best.Value {
			best = looked("G_I", v, "J/m²")
		}
	}
	return best
}

// byHandCriterion judges the sum by hand: one stretch, all sliding.
func (d *joint) byHandCriterion(h hand, gii Number, whole influence.Whole) {
	jm := &d.m.Joints[d.index]
	limits := jm.Capacity.At(d.m.Scale(jm, d.at.Load, 0))
	_, sh := limits.Least()
	fv := d.bears("by hand: the smallest shear that a part bears", "f_h", sh.Value, d.printed(int(sh.Part), true))
	s := d.reckon("by hand: stress over strength", "S_h = abs(τ)/f_h", "1", nil, h.shear, fv)
	q := d.reckon("by hand: energy set free over energy it takes, all sliding", "Q_h = √(G_h/G_II)", "1", []string{"LEGUILLON02"}, h.straight, gii)
	d.reckon("by hand: load over critical", "v_h = min(S_h, Q_h)", "1", []string{"LEGUILLON02"}, s, q)
	sliding := (math.Abs(whole.Shear[0]) + math.Abs(whole.Shear[1])) / 2
	d.d.Compare = append(d.d.Compare,
		Comparison{What: "mean shear over half the joint", Hand: math.Abs(h.shear.Value), Solver: sliding, Unit: "MPa",
			Why: "the neighbours hold both pieces too, and pass on part of the force"},
		Comparison{What: "energy of opening the whole joint, held straight", Hand: h.straight.Value, Solver: jPerM2 * whole.Release, Unit: "J/m²",
			Why: "a piece that bows beside the open joint gives up less or more than a straight strip"},
		Comparison{What: "the same, free to bow", Hand: h.free.Value, Solver: jPerM2 * whole.Release, Unit: "J/m²",
			Why: "two long strips by themselves do this; in a field the neighbours keep them straight"})
}

func (d *joint) handV() float64 {
	for i := range d.d.Steps {
		if d.d.Steps[i].ID == "v_h" {
			return d.d.Steps[i].Result.Value
		}
	}
	return 0
}
