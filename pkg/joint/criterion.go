package joint

import "math"

// Criterion is what one part of a joint, or one plane of wood, bears of a traction
// p = (N, T) on its plane: N MPa along the normal, positive opening; T MPa along
// the tangent. Open and Slide are in 1/MPa. The utilisation is
//
//	u = √( max(0, Open·p)² + (Slide·p)² )                                 (1)
//
// Where the fibres stand square to the plane's tangent or lie along it, Open is
// (1/f_t, 0) and Slide (0, 1/f_v); fibres that cut the plane at a slant mix them.
type Criterion struct{ Open, Slide [2]float64 }

// Terms are Open·p and Slide·p of (1) for a traction [MPa], dimensionless; the
// first is below 0 where the part is pressed.
func (l *Criterion) Terms(n, t float64) (open, slide float64) {
	return l.Open[0]*n + l.Open[1]*t, l.Slide[0]*n + l.Slide[1]*t
}

// TogetherSquare is u² of (1) for an opening and a sliding part, as Terms gives them or
// as they add up over a stretch, dimensionless or in the unit of their sum: what presses
// does not open. Whoever puts the two together asks here.
func TogetherSquare(open, slide float64) float64 {
	if open < 0 {
		return slide * slide
	}
	return open*open + slide*slide
}

// Together is the root of TogetherSquare, dimensionless or in the unit of its arguments.
func Together(open, slide float64) float64 { return math.Sqrt(TogetherSquare(open, slide)) }

// Square is u² of (1) for a traction [MPa].
func (l *Criterion) Square(n, t float64) float64 { return TogetherSquare(l.Terms(n, t)) }

// Scaled is the criterion when tension and shear strength are multiplied by two factors.
func (l *Criterion) Scaled(tension, shear float64) Criterion {
	return Criterion{[2]float64{l.Open[0] / tension, l.Open[1] / tension}, [2]float64{l.Slide[0] / shear, l.Slide[1] / shear}}
}

// Straight tells that tension and shear do not mix.
func (l *Criterion) Straight() bool { return l.Open[1] == 0 && l.Slide[0] == 0 }

// covers tells that no traction asks more of m than of l: l is the weaker part
// both ways. Criteria that mix tension and shear are not compared.
func (l *Criterion) covers(m *Criterion) bool {
	return l.Straight() && m.Straight() && l.Open[0] >= m.Open[0] && math.Abs(l.Slide[1]) >= math.Abs(m.Slide[1])
}

// Tension is the normal traction [MPa] that alone brings u to 1.
func (l *Criterion) Tension() float64 { return 1 / math.Sqrt(l.Square(1, 0)) }

// Shear is the tangential traction [MPa] that alone brings u to 1, in its worse sense.
func (l *Criterion) Shear() float64 { return 1 / math.Sqrt(max(l.Square(0, 1), l.Square(0, -1))) }

// Judgement is the answer to one traction.
type Judgement struct {
	U                  float64 // utilisation
	ByN, ByT           float64 // slopes of U by the traction, 1/MPa: N·ByN + T·ByT = U
	ByTension, ByShear float64 // slopes of U by the logarithms of tension and shear strength; they sum to −U
	How                How
	Part               Part
	Mode               string    // "tension across the grain", "rolling shear", …
	Criterion          Criterion // of the part that decides
}

// How is the way a joint goes.
type How string

// The ways.
const (
	Opens  How = "opens"
	Slides How = "slides"
	Splits How = "wood splits"
)

// Judge works (1) out for a traction [MPa], with its slopes; Part and Mode are
// left blank. At U = 0 there is no slope and none is named; everywhere else (1)
// is smooth.
func (l *Criterion) Judge(n, t float64) Judgement {
	open, slide := l.Terms(n, t)
	open = max(0, open)
	j := Judgement{U: Together(open, slide), How: Opens, Criterion: *l}
	if j.U == 0 {
		return j
	}
	j.ByN = (open*l.Open[0] + slide*l.Slide[0]) / j.U
	j.ByT = (open*l.Open[1] + slide*l.Slide[1]) / j.U
	j.ByTension, j.ByShear = -open*open/j.U, -slide*slide/j.U
	if n*j.ByN < t*j.ByT { // of degree one in the traction: the two products sum to U
		j.How = Slides
	}
	return j
}
