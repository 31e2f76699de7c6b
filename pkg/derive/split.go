package derive

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Split derives a split of the wood at its worst moment: what the piece would do by
// itself square to the path, what the board lets it do, the stress that the difference
// makes, and the energy of opening.
func Split(m *influence.Model, j *influence.Judged, p *influence.PathMoment, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, p.State, p.Hour)
	l, piece := &p.Path.Line, p.Opens()
	along := [2]float64{(l.To[0] - l.From[0]) / l.Length, (l.To[1] - l.From[1]) / l.Length}
	square := [2]float64{along[1], -along[0]}
	d.d.Text = fmt.Sprintf("A split through %s, %s.", d.called(piece), d.moment())
	change := d.remembered(p.Load, []member{d.piece(piece, "A")})[0]
	strain, modulus := d.alone(piece, "A", square, "the line square to the path", change)
	mean := d.solved("what the board as a whole would move that way, free", "ε_m", "1", m.MeanStrainAlong(p.Load, square), []string{"TENSOR"},
		"mean over the area of the free strains of all pieces, each by its own rings")
	hand := d.reckon("by hand: stress square to the path, the piece held to the mean of the board", "σ_h = E_A·(ε_m − ε_A)", "MPa", []string{"TENSOR"}, modulus, mean, strain)

	of := p.StretchOf()
	r := &p.Result
	n, t := d.tractions("on the stretch that opens, mean", p.Load, &of)
	note := fmt.Sprintf("the path opens from %.3g to %.3g mm of %.3g", r.From, r.To, l.Length)
	var s Number
	if of.Even {
		s = d.overStrength("mean stress over strength on the stretch that opens", "S", r.Stress, &of, note, n, t,
			func(shear bool) []Number { return d.strengthOf(piece, "A", shear, false) })
	} else {
		s = d.solved("mean stress over strength on the stretch that opens", "S", "1", r.Stress, coupled, note+"; it passes several woods, each bears its own", n, t)
	}
	gi := d.weakerFracture(piece).as("G_I")
	tough := p.Toughness()
	if math.Abs(jPerM2*tough.Open/gi.Value-1) > 1e-6 {
		gi = d.solved("energy to open, mean over the stretch", "G_1", "J/m²", jPerM2*tough.Open, nil, "the stretch passes several woods; each weighs by its length", gi)
	}
	v := d.runs(&p.LineMoment, s, gi, d.slidingTakes(tough.Slide, gi), tough.Exponent)
	d.chance(v, f)
	d.d.Compare = append(d.d.Compare, Comparison{What: "stress square to the path", Hand: hand.Value, Solver: of.N, Unit: "MPa",
		Why: "by hand " + m.Board.Pieces[piece].ID + " is held to the mean of the whole board; its neighbours hold it to their own"})
	return d.done()
}

// Wood derives what the wood of a piece in which no path was laid may ask: its stress,
// with the share that the worst paths have of theirs.
func Wood(m *influence.Model, j *influence.Judged, piece int, f Figure) (*Derivation, error) {
	w := &j.Pieces[piece]
	d := newBase(m, j, f.Of, w.State, 0)
	d.d.Text = fmt.Sprintf("A split through %s, as far as its stress tells: paths are laid where wood is stressed hardest.", d.called(piece))
	stress := d.solved("stress over strength, the most in the wood of the piece", "S_p", "1", w.Stress, []string{"TENSOR"}, "plane finite elements, over squares as wide as stress is averaged", d.strengthOf(piece, "A", false, false)...)
	share, most := j.WoodShare()
	if math.IsInf(most, 1) {
		return d.done()
	}
	q, v := given("q", share, "1", "the most that a path laid has of its own stress"), given("v_m", most, "1", "the worst path; derived by split")
	d.holds("load over the critical one, an estimate", "v = min(q·S_p, v_m)", "1", w.U, coupled, "", q, stress, v)
	return d.done()
}
