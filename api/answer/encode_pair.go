package answer

import (
	"encoding/json"
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/tanrad/tanrad/pkg/pair"
)

// appendPair writes a pair's answer without reflection, byte for byte as Encode
// would: a design program asks on every edit, and for this small question the
// encoding would cost more than the physics. ok is false for what it does not
// know how to write; then the general encoder has the word.
func appendPair(b []byte, r *pair.Result) (out []byte, ok bool) {
	if r.Derivation != nil || r.Reasons == nil || r.Checks == nil || r.Estimated == nil || r.Assumptions == nil {
		return b, false
	}
	w := writer{b: b, ok: true}
	w.open()
	w.text("verdict", string(r.Verdict))
	w.number("utilisation", r.Utilisation)
	w.text("governs", r.Governs)
	w.text("headline", r.Headline)
	w.list("reasons")
	for _, reason := range r.Reasons {
		w.item()
		w.open()
		w.text("code", reason.Code)
		w.text("text", reason.Text)
		w.shut('}')
	}
	w.shut(']')
	w.side("a", &r.A)
	w.side("b", &r.B)
	w.number("length", r.Length)

	w.object("mismatch")
	w.number("along", r.Mismatch.Along)
	w.number("normal", r.Mismatch.Normal)
	w.number("shear", r.Mismatch.Shear)
	w.number("step", r.Mismatch.Step)
	w.shut('}')
	w.object("held_straight")
	w.number("force", r.Straight.Force)
	w.number("stress_a", r.Straight.StressA)
	w.number("stress_b", r.Straight.StressB)
	w.shut('}')
	w.object("free_to_bow")
	w.number("curvature", r.Bow.Curvature)
	w.number("rise", r.Bow.Rise)
	w.number("stress_a", r.Bow.StressA)
	w.number("stress_b", r.Bow.StressB)
	w.shut('}')
	w.object("ends")
	w.key("estimate")
	w.b = strconv.AppendBool(w.b, r.Ends.Estimate)
	w.number("averaging_length", r.Ends.Averaging)
	w.number("shear", r.Ends.Shear)
	w.number("peel", r.Ends.Peel)
	w.shut('}')
	w.number("relaxation", r.Relaxation)

	w.list("checks")
	for i := range r.Checks {
		c := &r.Checks[i]
		w.item()
		w.open()
		w.text("id", c.ID)
		w.text("text", c.Text)
		w.number("demand", c.Demand)
		w.number("capacity", c.Capacity)
		w.number("utilisation", c.Utilisation)
		w.text("verdict", string(c.Verdict))
		w.shut('}')
	}
	w.shut(']')
	w.texts("estimated", r.Estimated)
	w.texts("assumptions", r.Assumptions)
	w.shut('}')
	return append(w.b, '\n'), w.ok
}

func (w *writer) side(key string, s *pair.Side) {
	w.object(key)
	w.text("species", s.Species)
	w.text("common_name", s.CommonName)
	w.number("ring_angle", s.RingAngle)
	w.text("grain", string(s.Grain))
	w.number("width", s.Width)
	w.number("from", s.From)
	w.number("to", s.To)
	w.number("strain_along", s.Along)
	w.number("strain_normal", s.Normal)
	w.number("strain_shear", s.Shear)
	w.number("strain_thickness", s.Thick)
	w.number("modulus", s.Modulus)
	w.number("shear_modulus", s.ShearMod)
	w.number("t_r_ratio", s.TRRatio)
	w.number("density", s.Density)
	w.text("bonding", s.Bonding)
	w.number("tension", s.Tension)
	w.number("bond", s.Bond)
	w.number("joint_shear", s.JointShear)
	w.shut('}')
}

// writer appends JSON. Keys are this file's own and need no escaping.
type writer struct {
	b  []byte
	ok bool
}

func (w *writer) open()         { w.b = append(w.b, '{') }
func (w *writer) shut(end byte) { w.b = append(w.b, end) }

// item puts the comma between members: none after an opening bracket.
func (w *writer) item() {
	if last := w.b[len(w.b)-1]; last != '{' && last != '[' {
		w.b = append(w.b, ',')
	}
}

func (w *writer) key(key string) {
	w.item()
	w.b = append(w.b, '"')
	w.b = append(w.b, key...)
	w.b = append(w.b, '"', ':')
}

func (w *writer) object(key string) {
	w.key(key)
	w.open()
}

func (w *writer) list(key string) {
	w.key(key)
	w.b = append(w.b, '[')
}

func (w *writer) text(key, text string) {
	w.key(key)
	w.quoted(text)
}

func (w *writer) texts(key string, texts []string) {
	w.list(key)
	for _, t := range texts {
		w.item()
		w.quoted(t)
	}
	w.shut(']')
}

// special marks the bytes that may need escaping.
var special = func() (t [256]bool) {
	for c := range t {
		t[c] = c < ' ' || c == '"' || c == '\\' || c >= utf8.RuneSelf
	}
	return t
}()

// quoted writes plain text; anything to escape is left to the general encoder.
func (w *writer) quoted(text string) {
	for i := 0; i < len(text); i++ {
		if !special[text[i]] {
			continue
		}
		if text[i] < utf8.RuneSelf || !printable(text[i:]) {
			w.ok = false
			return
		}
		break
	}
	w.b = append(w.b, '"')
	w.b = append(w.b, text...)
	w.b = append(w.b, '"')
}

// printable reports that a text with letters beyond ASCII needs no escaping either.
func printable(text string) bool {
	for _, r := range text {
		if r == utf8.RuneError || r == '\u2028' || r == '\u2029' || r < utf8.RuneSelf && special[r] {
			return false
		}
	}
	return true
}

// number writes a number in the form of encoding/json, that of ECMAScript.
func (w *writer) number(key string, v float64) {
	w.key(key)
	if b, ok := appendShort(w.b, v); ok {
		w.b = b
		return
	}
	abs := math.Abs(v)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		w.ok = false
	case abs != 0 && (abs < 1e-6 || abs >= 1e21):
		b, err := json.Marshal(v)
		w.ok = w.ok && err == nil
		w.b = append(w.b, b...)
	default:
		w.b = strconv.AppendFloat(w.b, v, 'f', -1, 64)
	}
}
