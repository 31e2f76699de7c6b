package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// opensWith says where the numbers behind a given one are derived.
func opensWith(word, state string) string { return "derived by " + word + "@" + state }

// ElasticSettled derives what a settled state would ask if no stress eased with time: v is
// of degree one in the load, and one share is left of all of it.
func ElasticSettled(m *influence.Model, j *influence.Judged, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, f.State, 0)
	st := d.settled()
	if st == nil {
		return d.done()
	}
	d.d.Text = fmt.Sprintf("What the board would bear if no stress eased with time, %s.", st.Text)
	d.air()
	v := given("v", st.U, "1", opensWith("worst", st.Name))
	d.holds("load over the critical one, nothing eased", "v_e = v/k_r", "1", st.Elastic, coupled, "v is of degree one in the load", v, d.left(st))
	return d.done()
}

// ElasticFollowed derives the same of an exposure: the stress over strength of its worst
// joint if none had eased, over that of its worst with what has, is by how much v would
// be larger.
func ElasticFollowed(m *influence.Model, j *influence.Judged, h *influence.ExposureResult, f Figure) (*Derivation, error) {
	if h.InWood[0] > 0 {
		return elasticInWood(m, j, h, f)
	}
	o := m.UnrelaxedOf(h)
	if o.Joint < 0 || o.Relaxed <= 0 {
		return Nothing(f, "Nothing stresses the board in "+h.LoadHistory.ID()+"."), nil
	}
	at := influence.Moment{Joint: o.Joint, Load: o.Load, State: h.LoadHistory.ID(), Hour: h.LoadHistory.Times[o.Time]}
	d := jointOf(newBase(m, j, f.Of, at.State, at.Hour), &at)
	d.d.Text = "If no stress eased with time: " + d.between()
	stiff := d.solved("stiffer as it dries, softer as it swells", "k_s", "1", h.LoadHistory.Stiff(o.Time), []string{"WH190-T5-14"}, "mean over the change and over the area of the board")
	air := d.air()
	for _, s := range d.members() {
		start := d.start(s)
		then := d.solved("mean moisture of "+s.called+" by then", "m_"+s.letter, "% MC", d.has(h.LoadHistory.Moistures(o.Time), s),
			[]string{"CRANK75"}, "diffusion through the thickness, followed in time", append(air[:len(air):len(air)], start)...)
		d.solved("the change that stress would remember of "+s.letter, "μ_"+s.letter, "% MC", d.has(o.Load.Mean, s), nil,
			"all of its bound water since gluing, times k_s", start, then, stiff)
	}
	s := d.stress()
	relaxed := given("S_r", o.Relaxed, "1", "stress over strength at its worst time and place, with what has eased")
	v, text := given("v", h.Critical.U, "1", opensWith("worst", at.State)), "v_e = v·max(S_w, S_r)/S_r"
	if len(j.Lines) == 0 { // judged by stress alone
		text = "v_e = max(S_w, S_r)"
	}
	d.holds("load over the critical one, nothing eased", text, "1", h.Elastic, nil, "a crack follows the stress: v is of degree one in the load", v, s, relaxed)
	return d.done()
}

// elasticInWood derives it where a split of the wood governs: by how much more its wood is
// asked where nothing eased.
func elasticInWood(m *influence.Model, j *influence.Judged, h *influence.ExposureResult, f Figure) (*Derivation, error) {
	d := newBase(m, j, f.Of, h.LoadHistory.ID(), h.Hour)
	d.d.Text = "If no stress eased with time: the wood of " + m.Board.Pieces[h.Wood.Piece].ID + "."
	v := given("v", h.Critical.U, "1", opensWith("worst", h.LoadHistory.ID()))
	eased := given("S_r", h.InWood[0], "1", "solved: stress over strength of its wood at its worst time, with what has eased")
	not := given("S_e", h.InWood[1], "1", "solved: the same at its own worst time, nothing eased")
	d.holds("load over the critical one, nothing eased", "v_e = v·S_e/S_r", "1", h.Elastic, nil, "a crack follows the stress: v is of degree one in the load", v, not, eased)
	return d.done()
}
