package pair

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Limits of our own for what is worth a sentence.
const (
	talkTR      = 1.9  // T/R ratio from which a wood is called unruly
	talkDensity = 1.35 // ratio of densities from which wear and sanding differ
	talkStep    = 0.05 // mm, a step a finger feels
	dryRange    = 6.0  // % MC, ends of the range in which boards live
	wetRange    = 14.0
)

// classes of gluing in order (Wood Handbook Table 10-1).
var classes = map[string]int{"easily": 1, "well": 2, "satisfactorily": 3, "with-difficulty": 4}

// words gives the headline and the reasons in a maker's words.
func words(q *Request, a, b *side, r *Result) (string, []Reason) {
	var governs Check
	for _, c := range r.Checks {
		if c.ID == r.Governs {
			governs = c
		}
	}
	how := governs.Text
	if r.Utilisation == 0 {
		how = "nothing pulls at them"
	}
	headline := string(r.Verdict) + ": " + a.facts.name + " and " + b.facts.name + ", at most " +
		strconv.Itoa(r.Words.Percent(r.Utilisation)) + " % of what they bear (" + how + ")"

	reasons := make([]Reason, 0, 6)
	add := func(code, format string, args ...any) {
		reasons = append(reasons, Reason{code, fmt.Sprintf(format, args...)})
	}
	if d := r.Mismatch.Along; math.Abs(d) < 1e-9 {
		add("no-mismatch", "Both want the same length along the joint, so the glue line carries nothing.")
	} else {
		grows, other := b, a
		if d < 0 {
			grows, other = a, b
		}
		over := told(q)
		add("mismatch", "Over %s of joint %s wants to end up %s longer than %s.", q.length(over), grows.facts.name, q.small(over*math.Abs(d)), other.facts.name)
	}
	if a.piece.Grain != b.piece.Grain && (a.piece.Grain == Along || b.piece.Grain == Along) {
		add("grain-crossed", "Wood hardly moves along its grain; glued across, it holds the other piece back almost entirely.")
	}
	if a.piece.Grain == Across || b.piece.Grain == Across {
		add("end-grain-glued", "One face of this joint is end grain: a glued butt bears about a tenth of the wood's strength along the grain, at best a quarter.")
	}
	if turned := turnBetter(a, b, r); turned != "" {
		reasons = append(reasons, Reason{"turn-rings", turned})
	}
	for _, f := range distinct(a, b) {
		if f.unruly != "" {
			reasons = append(reasons, Reason{"unruly", f.unruly})
		}
	}
	if a.facts.density > 0 && b.facts.density > 0 {
		heavy, light := a.facts, b.facts
		if light.density > heavy.density {
			heavy, light = light, heavy
		}
		if ratio := heavy.density / light.density; ratio >= talkDensity {
			add("density", "%s is %.1f times as heavy as %s: they sand and wear unevenly.", upper(heavy.name), ratio, light.name)
		}
	}
	for _, f := range distinct(a, b) {
		if f.gluing != "" {
			reasons = append(reasons, Reason{"hard-to-glue", f.gluing})
		}
	}
	if ca, cb := classes[a.species.Bonding], classes[b.species.Bonding]; ca > 0 && cb > 0 && (ca-cb >= 2 || cb-ca >= 2) {
		add("gluing-apart", "%s bonds %s, %s %s: set pressure and open time for the harder one.",
			upper(a.facts.name), a.species.Bonding, b.facts.name, b.species.Bonding)
	}
	shop, member := adhesive.Spreads()
	if spread := math.Abs(a.from - b.from); spread > member {
		add("moisture-apart", "The pieces are %.1f %% MC apart at glue-up; at most %g is allowed within one glued member.", spread, member)
	} else if spread > shop {
		add("moisture-apart", "The pieces are %.1f %% MC apart at glue-up; careful shops keep within %g.", spread, shop)
	}
	if math.Abs(r.Mismatch.Step) >= talkStep {
		proud := b
		if r.Mismatch.Step < 0 {
			proud = a
		}
		add("step", "On a board %s thick %s ends up %s proud at the joint.", q.length(q.Thickness), proud.facts.name, q.small(math.Abs(r.Mismatch.Step)))
	}
	if q.To < dryRange || q.To > wetRange {
		add("outside-range", "%.1f %% MC is outside the 6 to 14 %% in which boards live indoors.", q.To)
	}
	return headline, reasons
}

// turnBetter tells when one of the pieces, its rings turned a quarter, would
// lower the mismatch along the joint by half or more.
func turnBetter(a, b *side, r *Result) string {
	if r.Verdict == verdict.Holds {
		return ""
	}
	now := math.Abs(r.Mismatch.Along)
	for _, try := range []struct{ turn, stay *side }{{a, b}, {b, a}} {
		if try.turn.piece.Grain != Up {
			continue
		}
		// the two in-plane strains of an end-grain block change places
		if then := math.Abs(try.turn.eyy - try.stay.exx); then <= now/2 {
			return fmt.Sprintf("Turn %s a quarter: the mismatch along the joint falls to %.0f %% of this.", try.turn.facts.name, 100*then/now)
		}
	}
	return ""
}

// distinct is the facts of both woods, or of the one when they are the same.
func distinct(a, b *side) []*facts {
	if a.species == b.species {
		return []*facts{a.facts}
	}
	return []*facts{a.facts, b.facts}
}

func upper(s string) string {
	return strings.ToUpper(s[:1]) + s[1:] // names of woods are ASCII
}

// told is the length [mm] over which the mismatch is told: the joint's own, or a
// foot of a long one.
func told(q *Request) float64 {
	if q.Length > 0 {
		return q.Length
	}
	return DefaultTold(q.Inches)
}

// DefaultTold is the length [mm] over which a long joint is told, a foot in inches.
func DefaultTold(inches bool) float64 {
	if inches {
		return 12 * quantity.MillimetresPerInch
	}
	return bowLength
}

// length writes a length given by a person, small one worked out, both given in mm.
func (q *Request) length(mm float64) string {
	if q.Inches {
		return quantity.FormatInches(mm)
	}
	return strconv.FormatFloat(math.Round(10*mm)/10, 'f', -1, 64) + " mm"
}

func (q *Request) small(mm float64) string {
	if q.Inches {
		return fmt.Sprintf("%.3f in", quantity.Inches(mm))
	}
	return fmt.Sprintf("%.2f mm", mm)
}

// common is what every answer rests on.
var common = []string{
	"two strips by themselves, solved and judged as a board is: plane stress, linear elastic, one uniform moisture in each piece",
	"a board around them holds them straighter than they lie here and restrains them across the joint too: check the board",
	"an estimate, and in no verdict: the stress of strips held straight or bowing, far from the ends, and what presses wood along the joint",
}

// assumptions lists what the answer rests on.
func assumptions(q *Request, left float64) []string {
	out := make([]string, len(common), len(common)+2)
	copy(out, common)
	if q.Length == 0 {
		out = append(out, "a long joint; short blocks build up less")
	}
	if q.Season {
		return append(out, fmt.Sprintf("the change comes with the season: %.0f %% of the elastic stress is left", 100*left))
	}
	return append(out, "no relaxation: the change comes within days")
}
