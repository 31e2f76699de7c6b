package check

import (
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// outOfFlat is how a board lies on a flat top, against its limit.
func (m reporter) outOfFlat(j *influence.Judged) Mode {
	o := Mode{Counts: true, Why: "Both faces are alike, and nothing bends the board.", Helps: "wet and dry both faces alike, on edge or on feet; one finish on both faces",
		RestsOn: "moisture through the thickness, with creep and crushing; how much water a face drinks is known to half and double; the limit is that of printed tolerances of table tops and parquet, for half a day at least"}
	if !m.Bends {
		o.Why = "Not judged: no exposure was followed."
		return o
	}
	worst, hump, scatter := 0.0, 0.0, m.flatScatter()
	for i := range j.States {
		v := &j.States[i]
		if verdict.Worse(v.OutOfFlat, worst) {
			worst = v.OutOfFlat
			s := m.StandsAt(v.Swelling)
			o.Gap, o.Rocks = s.Gap, s.Rocks
			o.Why, o.Helps = m.byTheLog(v.Swelling)
			o.at(j, v.Name, 0)
		}
	}
	for _, h := range j.Histories {
		s := &h.Stands
		if !h.LoadHistory.Aside() && s.Peak >= verdict.FromFails && s.Index < verdict.FromFails {
			hump = max(hump, s.Peak)
		}
		drawn := m.flatScatterOf(h)
		if h.LoadHistory.Aside() || !verdict.Worse(risk.Scale(drawn).AsCrack(s.Index), risk.Scale(scatter).AsCrack(worst)) {
			continue
		}
		worst, scatter, o.Gap, o.Rocks = s.Index, drawn, s.Gap, s.Rocks
		back := s.End < verdict.FromTight
		o.Back = &back
		o.Why, o.Helps = m.bends(h)
		o.at(j, h.LoadHistory.ID(), s.Time)
	}
	if held := influence.FlatHeld(); hump >= verdict.FromFails {
		o.Why += fmt.Sprintf(" For some hours it is %.1f times as far out as is let pass; what lies flat again within %.0f h is told and not judged.", hump, held)
	}
	o.judged(worst, scatter)
	return o
}

const (
	ringsBend = "The rings curve through the pieces: their bark side moves more than their heart side."
	ringsHelp = "narrower strips with heart sides up and down in turn, or quarter-sawn wood"
	windBend  = "The fibres wind round the log, and the wood twists as it moves; turned over it twists the same way."
	windHelp  = "straight-grained wood, or wood from far off the pith"
)

// byTheLog says why rings and fibres bend a board whose faces are alike.
func (m reporter) byTheLog(l *influence.Load) (why, helps string) {
	if m.Twists(l) && slices.ContainsFunc(m.Board.Pieces, func(p layout.Piece) bool { return p.Slope != 0 }) {
		return windBend, windHelp
	}
	return ringsBend, ringsHelp
}

// bends says why a board leaves the top in a history.
func (m reporter) bends(h *influence.ExposureResult) (why, helps string) {
	const alike = "wet and dry both faces alike, on edge or on feet; one finish on both faces"
	if short, ok := m.CrushedFace(h.LoadHistory, h.Stands.Time); ok {
		side, lie := "bottom", "its edges go down"
		if short > 0 {
			side, lie = "top", "its edges rise"
		}
		return fmt.Sprintf("The %s face swelled, was crushed against the wood below it, and is short now that it has dried: %s.", side, lie), alike
	}
	wetter, ok := m.WetterFace(h.LoadHistory, h.Stands.Time)
	if !ok {
		return m.byTheLog(m.At(h.LoadHistory, h.LoadHistory.Shape, h.Stands.Time, nil))
	}
	side, lie := "bottom", "its edges rise"
	if wetter > 0 {
		side, lie = "top", "its edges go down"
	}
	return fmt.Sprintf("The %s face holds more water than the other and grows past it: %s.", side, lie), alike
}

const glueHelps = "a glue of a higher water class (EN 204); never left in water, never near heat"

// both tells the moistures of two sides [% MC], one where they are alike.
func both(a, b float64) string {
	x, y := fmt.Sprintf("%.1f", a), fmt.Sprintf("%.1f", b)
	if x == y {
		return x
	}
	return x + " and " + y
}

// glueGives is what is asked of the glue itself.
func (m reporter) glueGives(j *influence.Judged) Mode {
	a := &m.Adhesive
	o := Mode{Counts: true, Why: "Neither water nor heat asks more of it than its class is tested for.",
		Helps:   glueHelps,
		RestsOn: fmt.Sprintf("the tests of its class (%s: %g h in cold water, soft from about %g °C); no law of years of washing was found", a.Name, a.Soak, a.Heat)}
	if len(m.Joints) == 0 {
		o.Why = "There is no glue."
		return o
	}
	for k := range m.Board.Joints {
		jt := &m.Board.Joints[k]
		if p, q := m.Board.Pieces[jt.A].Moisture, m.Board.Pieces[jt.B].Moisture; a.GluedAt(p, q) < 1 {
			o.Joint = jt.ID
			o.Beyond = fmt.Sprintf("%s was spread on wood at %s %% MC; its class is known for %g to %g %%.", a.Name, both(p, q), a.MCLow, a.MCHigh)
			o.Why, o.Helps = o.Beyond, fmt.Sprintf("wood brought to %g to %g %% before it is glued, or a glue that is made for it as it is", a.MCLow, a.MCHigh)
			break
		}
	}
	worst := 0.0
	for _, h := range j.Histories {
		b := &h.Bond
		if h.LoadHistory.Aside() || !verdict.Worse(b.Figure, worst) {
			continue
		}
		worst = b.Figure
		if b.Figure >= verdict.FromTight {
			o.Why, o.Helps = m.asksOfGlue(h), glueHelps
		}
		if b.Figure >= verdict.FromFails {
			o.Beyond = o.Why
		}
		o.at(j, h.LoadHistory.ID(), b.Time)
		if b.By == influence.ByNever { // from its first moment
			o.Helps, o.When, o.Hour = "washing by hand, both faces, and drying on edge", "", 0
		}
	}
	o.judged(worst, nil)
	return o
}

// asksOfGlue says what a history asks of the glue.
func (m reporter) asksOfGlue(h *influence.ExposureResult) string {
	a := &m.Adhesive
	switch h.Bond.By {
	case influence.ByNever:
		return h.LoadHistory.Shown.Never
	case influence.ByHeat:
		return fmt.Sprintf("%s begins to soften near %g °C.", a.Name, a.Heat)
	}
	if h.Bond.Figure >= verdict.FromFails {
		return fmt.Sprintf("%s is tested for %g hours in cold water, and stays in it longer here.", a.Name, a.Soak)
	}
	return fmt.Sprintf("%s is tested for %g hours in cold water, and here stays in it nearly as long.", a.Name, a.Soak)
}

// firstOf is how a history fails, or what it comes nearest to.
type firstOf struct {
	mode  string
	index float64 // the mode's figure; of what no board should meet the largest of any
	words verdict.Scale
	word  Verdict  // of the mode
	after *float64 // h when the mode passes its limit; nil when it does not
}

// worstOfHistory tells by which mode a history fails: of those with the worst word that of
// the largest figure. What no board should meet is told as that, whatever else opens in it.
func (m reporter) worstOfHistory(h *influence.ExposureResult) firstOf {
	crack := LineOpens
	if h.Worst < 0 {
		crack = Splits
	}
	first := func(series []float64) float64 {
		for i, v := range series {
			if v >= verdict.FromFails {
				return h.LoadHistory.Times[i]
			}
		}
		return math.Inf(1)
	}
	face := h.Faces.Worst.V
	if !m.governsFrom(face, h.Critical.U) {
		face = 0
	}
	deep := h.Opens.Index(m.Board.Thickness)
	if deep < verdict.FromFails { // told, but no way to fail: see woodChecks
		deep = 0
	}
	flatAfter := math.Inf(1)
	if h.Stands.Index >= verdict.FromFails { // a hump of some hours does not count
		flatAfter = first(h.OutOfFlat)
	}
	out := firstOf{word: Holds}
	never, most := h.Bond.By == influence.ByNever, 0.0
	for _, o := range []struct {
		mode    string
		index   float64
		scatter []risk.Part
		after   float64
	}{
		{WoodChecks, deep, m.scatter(), h.Opens.Hour}, {EndOpens, h.End.Result.V, m.endScatter(&h.End), first(h.Utilise)}, {crack, h.Critical.U, m.scatter(), first(h.Utilise)},
		{LineOpens, face, m.scatter(), h.Faces.After},
		{OutOfFlat, h.Stands.Index, m.flatScatterOf(h), flatAfter}, {GlueGives, h.Bond.Figure, nil, h.Bond.After},
	} {
		if o.index <= influence.Quiet {
			continue
		}
		most = math.Max(most, o.index)
		words := risk.Scale(o.scatter)
		word := words.Of(o.index)
		better := out.mode == "" || word.Severity() > out.word.Severity() || word == out.word && verdict.Worse(o.index, out.index)
		if never {
			better = o.mode == GlueGives
		}
		if better {
			out.mode, out.index, out.words, out.word, out.after = o.mode, o.index, words, word, nil
			if !math.IsInf(o.after, 1) {
				out.after = &o.after
			}
		}
	}
	if never {
		out.index = most
	}
	return out
}
