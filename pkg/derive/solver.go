package derive

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// mostKinds is how many kinds of piece a sum writes out.
const mostKinds = 12

// stress adds up what every kind of piece brings to the worst stretch, and holds it
// against what the weakest part bears.
func (d *joint) stress() {
	m, l := d.m, d.at.Load
	worst := m.Worst(d.index, l)
	jm := &m.Joints[d.index]
	n := d.sumOver("opening stress on the worst stretch", "N", worst.N, l, worst.Window, worst.Level, func(p influence.Pull) float64 { return p.N })
	t := d.sumOver("shear on the worst stretch", "T", worst.T, l, worst.Window, worst.Level, func(p influence.Pull) float64 { return p.T })
	limits := jm.Capacity.At(m.Scale(jm, l, worst.Level))
	law := limits.Judge(worst.N, worst.T).Law
	note := fmt.Sprintf("what gives: %s, %s; over %.3g mm", partNames[worst.Part], worst.Mode, jm.Windows[worst.Window].To-jm.Windows[worst.Window].From)
	if law.Open[1] == 0 && law.Slide[0] == 0 {
		ft := d.bears("tension that it bears", "f_t", law.Tension(), d.base(int(worst.Part), false))
		fv := d.bears("shear that it bears", "f_v", law.Shear(), d.base(int(worst.Part), true))
		d.holds("stress over strength on the worst stretch", "S_w = √((max(0, N)/f_t)^2 + (T/f_v)^2)", "1", worst.U, []string{"TANRAD-EST"}, note, n, t, ft, fv)
		return
	}
	slant := func(symbol string, v float64) Number {
		return d.solved("what a part with slanting fibres asks", symbol, "1/MPa", v, []string{"TENSOR"}, "the stress on the plane that holds the fibres over what it bears there")
	}
	d.holds("stress over strength on the worst stretch", "S_w = √(max(0, o_N·N + o_T·T)^2 + (s_N·N + s_T·T)^2)", "1", worst.U, []string{"TENSOR"}, note,
		n, t, slant("o_N", law.Open[0]), slant("o_T", law.Open[1]), slant("s_N", law.Slide[0]), slant("s_T", law.Slide[1]))
}

var partNames = [3]string{"the wood of A", "the bond", "the wood of B"}

// bears is a strength at the moment, with the printed figure that it rests on.
func (d *joint) bears(name, symbol string, is float64, base []Number) Number {
	return d.solved(name, symbol, "MPa", is, []string{"WH190-T5-14"}, "the printed figure brought to the moisture of the moment, turned to the joint", base...)
}

// base are the printed figures behind a strength.
func (d *joint) base(part int, shear bool) []Number {
	var out []Number
	for s, letter := range sides {
		if part == 0 && s == 1 || part == 2 && s == 0 {
			continue
		}
		side := &d.m.Sides[d.side[s]]
		up := d.m.Board.Pieces[d.side[s]].Grain.Up
		property, symbol := "tension_perp", "f_90"
		switch {
		case shear && up && part != 1:
			property, symbol = "rolling_shear", "f_r"
		case shear:
			property, symbol = "shear_parallel", "f_s"
		}
		if v, ok := side.Strength.Values[property]; ok {
			out = append(out, looked(symbol+letter, v, "MPa at 12 % MC"))
		}
	}
	return out
}

// sumOver is a traction as the sum of what every kind of piece brings, and every rest
// between two glue-ups.
func (d *joint) sumOver(name, symbol string, is float64, l *influence.Load, window, level int, of func(influence.Pull) float64) Number {
	pulls := d.m.PullsOn(d.index, window, level)
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
		kind := d.m.Kinds[k].Name
		if v := of(pulls[k].Mean); v != 0 || len(pulls) == 1 {
			term(given(fmt.Sprintf("q_%s%d", symbol, k+1), v, "MPa/% MC", "solved: what one % in all "+kind+" brings here"),
				given(fmt.Sprintf("μ_%d", k+1), l.Mean[k], "% MC", "what stress remembers of "+kind))
		}
		if v := of(pulls[k].Slope); v != 0 && l.Slope != nil && l.Slope[k] != 0 {
			term(given(fmt.Sprintf("b_%s%d", symbol, k+1), v, "MPa·mm/% MC", "solved: what one % a mm through all "+kind+" brings at this face"),
				given(fmt.Sprintf("g_%d", k+1), l.Slope[k], "% MC/mm", "slope through the thickness of "+kind))
		}
	}
	rests, after := d.m.RestPullsOn(d.index, window, level)
	for k := range rests {
		if v := of(rests[k]); v != 0 && l.Locked != nil {
			stage := d.m.Board.Stages[after[k]].Name
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
	return d.holds(name, text, "MPa", is, nil, "plane finite elements, one solution for each kind of piece", in...)
}

// criterion goes from stress and energy to v and the word, and puts the sum by hand
// beside the solver.
func (d *joint) criterion(ctx context.Context, h hand) error {
	m := d.m
	coupled := []string{"LEGUILLON02", "CORNETTI06"}
	tough := m.ToughnessOf(d.index)
	opening := d.weakerFracture()
	gi := opening.as("G_I")
	gii := d.solved("energy to open all of it by sliding", "G_II", "J/m²", jPerM2*tough.Slide, []string{opening.Source}, "a multiple of the energy to open", gi)
	line, _ := m.LineOf(d.index)
	at := &d.j.Lines[line]
	whole, err := m.OverJoint(ctx, d.index, d.at.Load)
	if err != nil {
		return err
	}
	d.byHandCriterion(h, gii, whole)
	if at.Load == nil {
		return nil
	}
	r := &at.Result
	note := "solved: its line opens from " + fmt.Sprintf("%.3g to %.3g mm", r.From, r.To)
	if at.State != d.at.State || at.Hour != d.at.Hour {
		note += ", " + at.State + fmt.Sprintf(" after %.3g hours", at.Hour)
	}
	s := d.solved("mean stress over strength on the stretch that opens", "S", "1", r.Stress, coupled, note)
	g := d.solved("energy that opening it sets free", "G", "J/m²", jPerM2*r.Release, coupled, "solved: the board with the two lips parted; lips that touch slide only")
	if mean := m.ToughnessOn(line, r.From, r.To); math.Abs(mean.Open/tough.Open-1) > 1e-6 {
		tough = mean
		gi = d.solved("energy to open, mean over the stretch", "G_1", "J/m²", jPerM2*mean.Open, nil, "the stretch passes several woods; each weighs by its length", gi)
		gii = d.solved("energy to open by sliding, mean over the stretch", "G_2", "J/m²", jPerM2*mean.Slide, nil, "the same", gii)
	}
	share := given("s", r.Sliding, "1", "solved: share of sliding")
	power := given("η", tough.Exponent, "1", "exponent of the mixed-mode law")
	gc := d.holds("energy that it takes", "G_c = "+gi.Symbol+" + ("+gii.Symbol+" − "+gi.Symbol+")·s^η", "J/m²", jPerM2*r.Needed, []string{"BENZEGGAGH96"},
		"interpolated where the stretch ends between two nodes", gi, gii, share, power)
	e := d.holds("energy set free over energy it takes, as a load", "Q = √(G/G_c)", "1", r.Energy, coupled, "", g, gc)
	v := d.holds("load over the load at which a crack starts and runs", "v = min(S, Q)", "1", r.V, coupled, "governed by "+string(r.Governs), s, e)
	u := v
	if d.at.D.Crack == nil {
		u = d.holds("this joint: no more than its own stress, no more than its line", "u = min(S_w, v)", "1", d.at.D.U, coupled, "the line's crack lies elsewhere",
			Number{Symbol: "S_w", Value: m.Worst(d.index, d.at.Load).U, Unit: "1", Step: "S_w"}, v)
	}
	d.chance(u)
	d.d.Compare = append(d.d.Compare, Comparison{What: "load over critical", Hand: d.handV(), Solver: u.Value, Unit: "1",
		Why: "by hand the whole joint opens at once; the solver finds the worst stretch, most often beside a corner"})
	return nil
}

const jPerM2 = 1000 // of one N/mm

// weakerFracture is the energy to open the weaker side.
func (d *joint) weakerFracture() Number {
	best := Number{Value: math.Inf(1)}
	for s := range sides {
		if v := d.m.Sides[d.side[s]].Species.FractureEnergy(0); v.V < best.Value {
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
	fv := d.bears("by hand: the smallest shear that a part bears", "f_h", sh.Value, d.base(int(sh.Part), true))
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

// chance is the word behind the load.
func (d *joint) chance(u Number) {
	spread := d.solved("scatter of the logarithm of the load", "σ", "1", risk.Spread(), []string{"CORNETTI06"}, "squares of the scatters of wood, relaxation, climate and gluing, each by its power in v: data/chance.csv")
	for i := range d.d.Steps {
		if d.d.Steps[i].ID != "σ" {
			continue
		}
		for k, p := range risk.Parts() {
			d.d.Steps[i].Inputs = append(d.d.Steps[i].Inputs, Number{Symbol: fmt.Sprintf("σ_%d", k+1), Value: p.Spread, Unit: "1", Source: p.Source, Status: p.Status, Note: p.Name})
		}
	}
	d.holds("chance of the model that it gives", "p = Φ(ln("+u.Symbol+")/σ)", "1", risk.Chance(u.Value, risk.Spread()), nil,
		fmt.Sprintf("the word is %s; tight, doubtful and fails begin at %g, %g and %g of %s", verdict.Of(u.Value), verdict.FromTight, verdict.FromDoubtful, verdict.FromFails, u.Symbol), u, spread)
}
