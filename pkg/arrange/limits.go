package arrange

import (
	"math"

	"github.com/tanrad/tanrad/pkg/joint"
)

// limitsOf works out what a joint bears in one state with two variants beside it.
func (s *space) limitsOf(j int, a, b *variant, st int) joint.Limits {
	jt := &s.board.Joints[j]
	t := [2]float64{(jt.To[0] - jt.From[0]) / jt.Length, (jt.To[1] - jt.From[1]) / jt.Length}
	c := joint.CapacityOf(a.side, b.side, [2]float64{t[1], -t[0]}, t, s.bond(a.moisture, b.moisture))
	return c.At(joint.Scale{TensionA: a.tension[st], TensionB: b.tension[st], ShearA: a.shear[st], ShearB: b.shear[st], Bond: 1})
}

// woodLimits is what the wood of a variant bears in one state.
type woodLimits struct {
	planes      []joint.Plane
	open, slide float64 // largest slopes over the planes, 1/MPa
}

// limits works out what the wood of a variant bears.
func (v *variant) limits(st int) woodLimits {
	l := woodLimits{planes: joint.Planes(v.side)}
	for i := range l.planes {
		law := &l.planes[i].Law
		*law = law.Scaled(v.tension[st], v.shear[st])
		l.open, l.slide = math.Max(l.open, law.Open[0]), math.Max(l.slide, math.Abs(law.Slide[1]))
	}
	return l
}

// square is u² of wood under plane stress, MPa. Below floor it may stop at an
// upper bound: such a place does not count.
func (l *woodLimits) square(s0, s1, s2, floor float64) float64 {
	mid, dev2 := (s0+s1)/2, (s0-s1)*(s0-s1)/4+s2*s2
	if bound := l.bound(mid, dev2); bound < floor {
		return bound
	}
	worst := 0.0
	for i := range l.planes {
		p := &l.planes[i]
		n, t := p.Traction([3]float64{s0, s1, s2})
		if u := p.Law.Square(n, t); u > worst {
			worst = u
		}
	}
	return worst
}

// bound is no smaller than square: the largest tension and the largest shear at once.
func (l *woodLimits) bound(mid, dev2 float64) float64 {
	u := dev2 * l.slide * l.slide
	if dev := math.Sqrt(dev2); mid+dev > 0 {
		u += (mid + dev) * (mid + dev) * l.open * l.open
	}
	return u
}
