package check

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// outOfFlat is how a board lies on a flat top, against its limit.
func (m reporter) outOfFlat(j *influence.Judged) Mode {
	o := Mode{Counts: true, Why: "Both faces are alike, and nothing bends the board.", Helps: "wet and dry both faces alike, on edge or on feet; one finish on both faces",
		RestsOn: "moisture through the thickness, with creep and crushing; how much water a face drinks is known to half and double; the limit is that of printed tolerances of table tops and parquet"}
	if !m.Bends {
		o.Why = "Not judged: no exposure was followed."
		return o
	}
	worst := 0.0
	sigma := risk.FlatSpread(false)
	for i := range j.States {
		v := &j.States[i]
		if verdict.Worse(v.OutOfFlat, worst) {
			worst = v.OutOfFlat
			s := m.StandsAt(v.Swelling)
			o.Gap, o.Rocks, o.Why, o.Helps = s.Gap, s.Rocks, ringsBend, ringsHelp
			o.at(j, v.Name, 0)
		}
	}
	for _, h := range j.Histories {
		s := &h.Stands
		if h.Course.Aside() || !verdict.Worse(s.Index, worst) {
			continue
		}
		worst, o.Gap, o.Rocks = s.Index, s.Gap, s.Rocks
		back := s.End < verdict.FromTight
		o.Back = &back
		o.Why, o.Helps = m.bends(h)
		sigma = risk.FlatSpread(h.Course.Drinks())
		o.at(j, h.Course.ID(), s.Time)
	}
	o.judged(worst, sigma)
	return o
}

const (
	ringsBend = "The rings curve through the pieces: their bark side moves more than their heart side."
	ringsHelp = "narrower strips with heart sides up and down in turn, or quarter-sawn wood"
)

// bends says why a board leaves the top in a history.
func (m reporter) bends(h *influence.History) (why, helps string) {
	wetter, ok := m.WetterFace(h.Course, h.Stands.Time)
	if !ok {
		return ringsBend, ringsHelp
	}
	side, lie := "bottom", "its edges rise"
	if wetter > 0 {
		side, lie = "top", "its edges go down"
	}
	return fmt.Sprintf("The %s face holds more water than the other and grows past it: %s.", side, lie),
		"wet and dry both faces alike, on edge or on feet; one finish on both faces"
}

// glueGives is what is asked of the glue itself.
func (m reporter) glueGives(j *influence.Judged) Mode {
	a := &m.Adhesive
	o := Mode{Counts: true, Why: "Neither water nor heat asks more of it than its class is tested for.",
		Helps:   "a glue of a higher water class (EN 204), glued inside its window of moisture; never the dishwasher, never left in water",
		RestsOn: fmt.Sprintf("the tests of its class (%s: %g h in cold water, soft from about %g °C); no law of years of washing was found", a.Name, a.Soak, a.Heat)}
	if len(m.Joints) == 0 {
		o.Why = "There is no glue."
		return o
	}
	for k := range m.Board.Joints {
		jt := &m.Board.Joints[k]
		if p, q := m.Board.Pieces[jt.A].Moisture, m.Board.Pieces[jt.B].Moisture; a.GluedAt(p, q) < 1 {
			o.Joint = jt.ID
			o.Beyond = fmt.Sprintf("%s was spread on wood at %.1f and %.1f %% MC; its class is known for %g to %g %%.", a.Name, p, q, a.MCLow, a.MCHigh)
			o.Why = o.Beyond
			break
		}
	}
	worst := 0.0
	for _, h := range j.Histories {
		b := &h.Bond
		if h.Course.Aside() || !verdict.Worse(b.Figure, worst) {
			continue
		}
		worst = b.Figure
		if b.Figure >= verdict.FromTight {
			o.Why = m.asksOfGlue(h)
		}
		if b.Figure >= verdict.FromFails {
			o.Beyond = o.Why
		}
		o.at(j, h.Course.ID(), b.Time)
	}
	o.judged(worst, 0)
	return o
}

// asksOfGlue says what a history asks of the glue.
func (m reporter) asksOfGlue(h *influence.History) string {
	a := &m.Adhesive
	switch h.Bond.By {
	case influence.ByNever:
		return h.Course.Shown.Never
	case influence.ByHeat:
		return fmt.Sprintf("%s begins to soften near %g °C.", a.Name, a.Heat)
	}
	if h.Bond.Figure >= verdict.FromFails {
		return fmt.Sprintf("%s is tested for %g hours in cold water, and stays in it longer here.", a.Name, a.Soak)
	}
	return fmt.Sprintf("%s is tested for %g hours in cold water, and here stays in it nearly as long.", a.Name, a.Soak)
}

// worstOfHistory tells by which mode a history fails first: the mode, its figure, and
// the hours after which it passes its limit; thickness in mm. What no board should meet is told as that.
func worstOfHistory(h *influence.History, thickness float64) (mode string, index float64, after *float64) {
	if h.Bond.By == influence.ByNever {
		return GlueGives, h.Bond.Figure, &h.Bond.After
	}
	crack := LineOpens
	if h.Worst < 0 {
		crack = Splits
	}
	first := func(series []float64) float64 {
		for i, v := range series {
			if v >= verdict.FromFails {
				return h.Course.Times[i]
			}
		}
		return math.Inf(1)
	}
	deep := h.Opens.Index(thickness)
	if deep < verdict.FromFails { // told, but no way to fail: see woodChecks
		deep = 0
	}
	for _, o := range []struct {
		mode  string
		index float64
		after float64
	}{{WoodChecks, deep, h.Opens.Hour}, {EndOpens, h.End.Result.V, first(h.Utilise)}, {crack, h.Critical.U, first(h.Utilise)}, {OutOfFlat, h.Stands.Index, first(h.OutOfFlat)}, {GlueGives, h.Bond.Figure, h.Bond.After}} {
		if o.index > influence.Quiet && (mode == "" || verdict.Worse(o.index, index)) {
			mode, index, after = o.mode, o.index, nil
			if !math.IsInf(o.after, 1) {
				at := o.after
				after = &at
			}
		}
	}
	return mode, index, after
}
