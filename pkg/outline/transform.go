package outline

import (
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// xy is a place in the drawing, y downwards.
type xy = layout.XY

// affine is the matrix (a c e; b d f) of SVG 1.1 §7.4: x' = ax + cy + e.
type affine struct{ a, b, c, d, e, f float64 }

var identity = affine{a: 1, d: 1}

func (m affine) of(p xy) xy {
	return xy{m.a*p[0] + m.c*p[1] + m.e, m.b*p[0] + m.d*p[1] + m.f}
}

// times is n, which stands inside, followed by m.
func (m affine) times(n affine) affine {
	return affine{m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b, m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d, m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f}
}

// stretch bounds how much longer a length can become: the norm of the matrix's
// entries (Frobenius), never below its largest singular value.
func (m affine) stretch() float64 {
	return math.Sqrt(m.a*m.a + m.b*m.b + m.c*m.c + m.d*m.d)
}

func (m affine) finite() bool {
	return !math.IsNaN(m.a+m.b+m.c+m.d+m.e+m.f) && !math.IsInf(m.a+m.b+m.c+m.d+m.e+m.f, 0)
}

// transform reads a transform attribute, SVG 1.1 §7.6.
func transform(text string) (affine, bool) {
	m := identity
	for text = strings.TrimLeft(text, " \t\r\n,"); text != ""; text = strings.TrimLeft(text, " \t\r\n,") {
		name, rest, ok := strings.Cut(text, "(")
		args, after, closed := strings.Cut(rest, ")")
		if !ok || !closed {
			return m, false
		}
		v, ok := numbers(args)
		if !ok {
			return m, false
		}
		n, ok := step(strings.TrimSpace(name), v)
		if !ok {
			return m, false
		}
		m, text = m.times(n), after
	}
	return m, m.finite()
}

// step is one transform of a list.
func step(name string, v []float64) (affine, bool) {
	n := identity
	switch {
	case name == "matrix" && len(v) == 6:
		n = affine{v[0], v[1], v[2], v[3], v[4], v[5]}
	case name == "translate" && (len(v) == 1 || len(v) == 2):
		if n.e = v[0]; len(v) == 2 {
			n.f = v[1]
		}
	case name == "scale" && (len(v) == 1 || len(v) == 2):
		n.a, n.d = v[0], v[len(v)-1]
	case name == "rotate" && (len(v) == 1 || len(v) == 3):
		s, c := math.Sincos(v[0] * math.Pi / 180)
		if q := math.Round(v[0] / 90); v[0] == 90*q { // exact for quarters
			s, c = math.Round(s), math.Round(c)
		}
		n = affine{a: c, b: s, c: -s, d: c}
		if len(v) == 3 {
			n = affine{a: 1, d: 1, e: v[1], f: v[2]}.times(n).times(affine{a: 1, d: 1, e: -v[1], f: -v[2]})
		}
	case name == "skewX" && len(v) == 1:
		n.c = math.Tan(v[0] * math.Pi / 180)
	case name == "skewY" && len(v) == 1:
		n.b = math.Tan(v[0] * math.Pi / 180)
	default:
		return n, false
	}
	return n, true
}
