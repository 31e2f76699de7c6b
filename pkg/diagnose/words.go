package diagnose

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// evidence says what speaks for an explanation and what against it.
func (w *inquiry) evidence(h *Hypothesis, d *drawing) (pro, con []string) {
	pro, con = []string{}, []string{}
	yes := func(format string, a ...any) { pro = append(pro, fmt.Sprintf(format, a...)) }
	no := func(format string, a ...any) { con = append(con, fmt.Sprintf(format, a...)) }
	here := "the seen place"
	switch {
	case d.sums.hereJoint >= 0:
		here = "joint " + w.b.Joints[d.sums.hereJoint].ID
	case d.sums.herePiece >= 0:
		here = "the wood of " + w.b.Pieces[d.sums.herePiece].ID
	}
	u := d.sums.here.u
	switch {
	case w.o.shaped() && u >= 0.5:
		yes("It bends the board to %.0f %% of what is let pass on a flat top.", 100*u)
	case w.o.shaped():
		no("It bends the board to only %.0f %% of what is let pass on a flat top.", 100*u)
	case u >= 1:
		yes("It asks of %s %.1f times what that bears.", here, u)
	case u >= 0.5:
		yes("It brings %s to %.0f %% of what that bears; wood scatters by a quarter, so that can open it.", here, 100*u)
	default:
		no("It brings %s to only %.0f %% of what that bears.", here, 100*u)
	}
	switch {
	case w.seen.everywhere:
	case h.Rival == "":
		yes("No other place is asked for anything.")
	case u >= d.sums.there:
		yes("No other place is asked for more (next: %s, %.0f %%).", h.Rival, 100*d.sums.there)
	case u < 0.8*d.sums.there:
		no("It would sooner open %s, at %.0f %% against %.0f %% here.", h.Rival, 100*d.sums.there, 100*u)
	}
	w.signs(d, yes, no)
	w.timing(h, d, yes, no)
	switch f := h.Factors.Depth; {
	case w.o.depth() == "":
	case f >= 0.5:
		yes("It acts %s, as was seen.", levelWords(h.Level))
	case f < 0.2:
		no("It acts %s, which is not what was seen.", levelWords(h.Level))
	default:
		no("It acts %s; what was seen does not quite fit.", levelWords(h.Level))
	}
	switch {
	case w.o.Event == "":
	case h.Factors.Event > 0.5:
		yes("That was told.")
	default:
		no("Told was something else: %s.", w.o.Event)
	}
	switch p := h.Factors.Prior; {
	case h.Kind == ByConstruction:
		yes("%.0f %% of what it asks there goes when the border can follow the field.", 100*p)
	case p < 0.05 && h.Kind == ByBond:
		no("Rare: about one joint in %.0f.", 1/p)
	case p < 0.05:
		no("Rare: about one block in %.0f.", 1/p)
	case p < 0.5:
		no("Less common than a change of season; counted at %.0f %% of it.", 100*p)
	}
	return pro, con
}

// signs says which of the signs that were told an explanation brings.
func (w *inquiry) signs(d *drawing, yes, no func(string, ...any)) {
	tell := func(p float64, format string, a ...any) {
		if p >= 0.5 {
			yes(format, a...)
		} else {
			no(format, a...)
		}
	}
	for _, s := range w.o.Signs {
		switch o := d.of; {
		case s == Cupped && !w.o.shaped():
			tell(o.flat.passes(), "It lets the board lie out of flat by %.0f %% of what is let pass.", 100*o.flat.figure)
		case s == RocksOnTop && (!w.o.shaped() || w.o.has(Cupped)):
			tell(o.rocks.passes(), "It lets a corner rock by %.0f %% of what is felt.", 100*o.rocks.figure)
		case s == EndChecks:
			tell(o.end.passes(), "It brings the end of a glue line at the rim to %.0f %% of what it bears.", 100*o.end.figure)
		case s == AfterWashing:
			if slices.Contains(washes, d.event) {
				yes("It is a washing, as was told.")
			} else {
				no("It is no washing.")
			}
		}
	}
}

func (w *inquiry) timing(h *Hypothesis, d *drawing, yes, no func(string, ...any)) {
	if m := w.o.month(); m != 0 {
		told := w.o.Season
		if told == "" {
			told = monthName(m)
		}
		switch f := h.Factors.Season; {
		case d.sums.here.month == 0:
		case f >= 1:
			yes("It is worst in %s; the crack came in %s.", monthName(d.sums.here.month), told)
		default:
			no("It is worst in %s, not in %s.", monthName(d.sums.here.month), told)
		}
	}
	if w.o.Age == nil {
		return
	}
	when := "at this age"
	if d.sums.here.days >= 0 {
		when = fmt.Sprintf("%s after gluing", span(d.sums.here.days))
	}
	switch f := h.Factors.Age; {
	case f >= 0.4:
		yes("It shows mostly %s; the crack came %s after gluing.", when, span(*w.o.Age))
	case f <= 0.1 && d.sums.here.days >= 0:
		no("It is worst %s, not %s after it.", when, span(*w.o.Age))
	case f <= 0.1:
		no("It seldom shows as late or as early as %s after gluing.", span(*w.o.Age))
	}
}

func span(days float64) string {
	n, unit := math.Round(days), "day"
	switch {
	case days >= 730:
		n, unit = math.Round(days/365), "year"
	case days >= 60:
		n, unit = math.Round(days/30.44), "month"
	}
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}

func levelWords(level string) string {
	if level == "through" {
		return "through the thickness"
	}
	return "on the " + level
}

func headline(d *Diagnosis) string {
	if len(d.Hypotheses) == 0 {
		return "Nothing that was looked at would open this board there."
	}
	first := &d.Hypotheses[0]
	s := fmt.Sprintf("Most likely: %s (%.0f %% of all that was looked at).", first.Text, 100*first.Chance)
	switch {
	case first.Utilisation < judged("faint") && d.Seen.shaped():
		s += fmt.Sprintf(" But even that bends the board to only %.0f %% of what is let pass: look for something that was not told.", 100*first.Utilisation)
	case first.Utilisation < judged("faint"):
		s += fmt.Sprintf(" But even that brings the place to only %.0f %% of what it bears: look for something that was not told.", 100*first.Utilisation)
	}
	var rest []string
	for i := range d.Hypotheses[1:] {
		if h := &d.Hypotheses[1+i]; h.Alike {
			rest = append(rest, h.Text)
		}
	}
	const most = 3
	if more := len(rest) - most; more > 0 {
		rest = append(rest[:most], fmt.Sprintf("%d more", more))
	}
	if len(rest) > 0 {
		s += " Not to be told from it by what was seen: " + strings.Join(rest, "; or ") + "."
	}
	return s
}

func notes(w *inquiry) []string {
	out := []string{
		"Chances are among the explanations looked at; a cause nobody thought of is not among them.",
		"How common a cause is, and how often it is seen in a season, at an age or on a face, is our judgement, no source.",
		"One cause at a time, but for a mistake at gluing and what came after.",
	}
	if w.o.month() == 0 {
		driest, _, _, _ := w.home.Extremes()
		out = append(out, "No season was told: events were run in "+monthName(driest+1)+", when wood settles driest in "+w.home.Name+".")
	}
	if w.unlooked {
		out = append(out, "Nobody has looked at some of the rings: every explanation was run on one typical draw of them, and another may open the board elsewhere. Look at the ends of the pieces before you trust the place.")
	}
	switch {
	case w.o.shaped():
		out = append(out, "The board is said to have lost its shape, and not to have opened: causes are ranked by how far they bend it.")
	case w.seen.everywhere:
		out = append(out, "No place was told: all that speaks is how likely each cause opens the board anywhere, and when.")
	}
	return out
}
