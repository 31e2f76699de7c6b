package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Checks derives how deep the wood opens from a face when it does deepest in an
// exposure: the stress that a face makes which dries ahead of the middle, the energy of
// a crack as deep, and its depth over the depth from which it counts.
func Checks(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, f.State, 0)
	h, _ := d.history()
	if h == nil {
		return d.done()
	}
	s, ok := m.SkinOf(h)
	if !ok {
		d.d.Text = "No wood opens from a face in " + f.State + "."
		d.balances(h)
		return d.done()
	}
	d.hour = h.Opens.Hour
	d.d.Text = fmt.Sprintf("Checks in %s, %s.", d.called(s.Piece), d.moment())
	air := d.air()
	name := m.Kinds[s.Kind].Name
	face := d.solved("bound water in the layer at the face", "w_f", "% MC", s.Face, []string{"CRANK75"}, "diffusion through the thickness of "+name+", followed in time", air...)
	mean := d.solved("bound water, mean of all layers", "w_m", "% MC", s.Middle, []string{"CRANK75"}, "the same", air...)
	held := given("k", s.Held, "MPa/% MC", "what one % makes in a face that is held altogether, rings as they pull hardest")
	hand := d.reckon("by hand: stress in the face, held by the mean", "σ_h = k·(w_m − w_f)", "MPa", []string{"TENSOR"}, held, mean, face)
	stress := d.solved("stress in the layer at the face", "σ_f", "MPa", s.Stress, []string{"BARROS26", "FERRARA25", "TANRAD-EST"},
		"followed in time: it creeps, gives way as its moisture changes, and opens no further than its strength", hand)
	d.bears("tension across the grain that it bears there", "f_t", s.Strength, d.strengthOf(s.Piece, "A", false, false))
	d.solved("depth to which tension stands at strength: checks too fine to be one crack", "a_f", "mm", h.Opens.Fine, []string{"TANRAD-EST"}, "layers from the face in which stress has reached strength, followed in time", stress)
	depth := d.solved("depth to which one of them runs", "a", "mm", h.Opens.Depth, []string{"BUECKNER70"}, "the deepest at which it sets free what it takes; as deep as the fine checks at least")
	k := d.solved("stress intensity of a crack as deep", "K_I", "MPa·√m", s.Intensity, []string{"BUECKNER70"}, "the stress of all layers by the weight function of an edge crack in a strip", depth)
	x := "T"
	r := "R"
	if s.Along {
		r = "L"
	}
	if s.Intensity > 0 {
		in := []Number{k, given("E_"+r, s.Moduli[0], "MPa", "the way it runs"), given("E_"+x, s.Moduli[1], "MPa", "square to its plane"),
			given("G_"+r+x, s.Moduli[2], "MPa", "shear of the two"), given("ν_"+r+x, s.Moduli[3], "1", "contraction of the two")}
		d.holds("energy that it sets free a step further", fmt.Sprintf("G = 1000000·K_I^2·√(1/(2·E_%[1]s·E_%[2]s))·√(√(E_%[1]s/E_%[2]s) + E_%[1]s/(2·G_%[1]s%[2]s) − ν_%[1]s%[2]s)", r, x), "J/m²", s.Release,
			[]string{"SIH65"}, "plane stress of an orthotropic sheet", in...)
	}
	d.weakerTakes(s)
	i := d.holds("depth over the depth from which it counts", "i = a/(s_d·h)", "1", f.Value, []string{"TANRAD-EST"}, "a shallower check is told and does not give the word", depth,
		given("s_d", influence.Deep(), "1", "of the thickness: data/layers.csv"), given("h", m.Board.Thickness, "mm", "thickness of the board"))
	d.chance(i, f)
	d.balances(h)
	d.d.Compare = append(d.d.Compare, Comparison{What: "stress in the face", Hand: hand.Value, Solver: s.Stress, Unit: "MPa",
		Why: "by hand the face is elastic and has no past; wood creeps, a wet face is crushed and comes out too short when it dries, and where it bears no more it opens"})
	return d.done()
}

// balances is the tension inside a piece, glued or not, over what it bears.
func (b *base) balances(h *influence.ExposureResult) {
	if h.Check.Piece < 0 || h.Check.U <= 0 {
		return
	}
	b.hour = h.Check.Hour
	b.part = "tension that balances itself, " + b.moment()
	b.solved("tension in the "+h.Check.Level+" of "+b.m.Board.Pieces[h.Check.Piece].ID+" over what it bears across the grain", "S_f", "1", h.Check.U,
		[]string{"CRANK75", "BARROS26"}, "the same in a piece that was never glued, followed in time, layer by layer; told beside the word", b.strengthOf(h.Check.Piece, "A", false, false)...)
}

// weakerTakes is the energy that a check takes to run.
func (b *base) weakerTakes(s influence.Skin) {
	b.solved("energy that it takes", "G_I", "J/m²", s.Needed, nil, "printed", b.weakerFracture(s.Piece).as("G_p"))
}
