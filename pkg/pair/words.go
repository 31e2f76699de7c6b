package pair

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Limits of our own for what is worth a sentence.
const (
	talkTR      = 1.9  // T/R ratio from which a wood is called unruly
	talkDensity = 1.35 // ratio of densities from which wear and sanding differ
	talkStep    = 0.05 // mm, a step a finger feels
	glueSpread  = 5.0  // % MC between laminations at most (Wood Handbook ch. 13)
	shopSpread  = 2.5  // % MC, shop rule (from memory)
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
	headline := string(r.Verdict) + ": " + a.facts.name + " and " + b.facts.name + ", at most " +
		strconv.FormatFloat(100*r.Utilisation, 'f', 0, 64) + " % of what they bear (" + governs.Text + ")"

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
		reasons = append(reasons, Reason{"mismatch", "Over 300 mm of joint " + grows.facts.name + " wants to end up " +
			strconv.FormatFloat(300*math.Abs(d), 'f', 2, 64) + " mm longer than " + other.facts.name + "."})
	}
	if a.piece.Grain != b.piece.Grain && (a.piece.Grain == Along || b.piece.Grain == Along) {
		add("grain-crossed", "Wood hardly moves along its grain; glued across, it holds the other piece back almost entirely.")
	}
	if a.piece.Grain == Across || b.piece.Grain == Across {
		add("end-grain-glued", "One face of this joint is end grain: a glued butt reaches at best a quarter of the wood's strength along the grain.")
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
	if spread := math.Abs(a.from - b.from); spread > glueSpread {
		add("moisture-apart", "The pieces are %.1f %% MC apart at glue-up; at most %.0f is advised within one glued part.", spread, glueSpread)
	} else if spread > shopSpread {
		add("moisture-apart", "The pieces are %.1f %% MC apart at glue-up; shops keep within 2 to 3.", spread)
	}
	if math.Abs(r.Mismatch.Step) >= talkStep {
		proud := b
		if r.Mismatch.Step < 0 {
			proud = a
		}
		add("step", "On a board %.0f mm thick %s ends up %.2f mm proud at the joint.", q.Thickness, proud.facts.name, math.Abs(r.Mismatch.Step))
	}
	if q.To < dryRange || q.To > wetRange {
		add("outside-range", "%.1f %% MC is outside the 6 to 14 %% in which boards live indoors.", q.To)
	}
	return headline, reasons
}

// turnBetter tells when one of the pieces, its rings turned a quarter, would
// lower the mismatch along the joint by half or more.
func turnBetter(a, b *side, r *Result) string {
	if r.Verdict == Holds {
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

// common is what every answer rests on.
var common = []string{
	"plane stress, linear elastic, one uniform moisture in each piece",
	"the joint stays straight (rest of the board) or the pair bows freely; the harsher of the two counts",
	"end shear and peel are one-dimensional estimates of a corner problem",
}

// assumptions lists what the answer rests on.
func assumptions(q *Request) []string {
	out := make([]string, len(common), len(common)+2)
	copy(out, common)
	if q.Length == 0 {
		out = append(out, "a long joint; short blocks build up less")
	}
	if q.Season {
		return append(out, "the change takes a season: half of the elastic stress is left")
	}
	return append(out, "no relaxation: the change comes within days")
}
