package arrange

import (
	"math"

	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/wood"
)

// planes is the number of directions in which end grain is tried for splitting,
// 15° apart as in package check.
const planes = 12

// normals are their unit normals.
var normals = func() (n [planes][2]float64) {
	for i := range n {
		sin, cos := math.Sincos(float64(i) * math.Pi / planes)
		n[i] = [2]float64{cos, sin}
	}
	return n
}()

// jointLimits is what a joint bears in one state, inverse squares of MPa.
type jointLimits struct{ tension, shear float64 }

// limitsOf works out what a joint bears with two variants beside it.
func (s *space) limitsOf(j int, a, b *variant, st int) jointLimits {
	jt := &s.board.Joints[j]
	t := [2]float64{(jt.To[0] - jt.From[0]) / jt.Length, (jt.To[1] - jt.From[1]) / jt.Length}
	c := joint.CapacityOf(a.side, b.side, [2]float64{t[1], -t[0]}, t, s.bond(a.moisture, b.moisture))
	ten, sh := c.Least(joint.Scale{TensionA: a.tension[st], TensionB: b.tension[st], ShearA: a.shear[st], ShearB: b.shear[st], Bond: 1})
	return jointLimits{1 / (ten.Value * ten.Value), 1 / (sh.Value * sh.Value)}
}

// square is u² of a joint under N and T, MPa.
func (l *jointLimits) square(n, t float64) float64 {
	if n < 0 {
		return t * t * l.shear
	}
	return n*n*l.tension + t*t*l.shear
}

// woodLimits is what the wood of a variant bears in one state, inverse squares of MPa.
type woodLimits struct {
	normals []([2]float64)
	tension []float64 // by normal
	shear   float64
	most    float64 // largest of tension
}

// limitsOf works out what the wood of a variant bears.
func (v *variant) limits(st int) woodLimits {
	f, str := &v.side.Frame, &v.side.Strength
	var l woodLimits
	l.normals, l.shear = normals[:], 1/square(str.ShearRolling*v.shear[st])
	if f.L[2] == 0 { // fibres in the face: only the plane along them splits
		l.normals, l.shear = [][2]float64{{-f.L[1], f.L[0]}}, 1/square(str.ShearLong*v.shear[st])
	}
	for _, n := range l.normals {
		ring := math.Atan2(math.Abs(f.T[0]*n[0]+f.T[1]*n[1]), math.Abs(f.R[0]*n[0]+f.R[1]*n[1])) * 180 / math.Pi
		ft := wood.Hankinson(str.TensionR, str.TensionT, ring, 2) * v.tension[st]
		l.tension = append(l.tension, 1/(ft*ft))
		l.most = math.Max(l.most, 1/(ft*ft))
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
	for i, n := range l.normals {
		px, py := s0*n[0]+s2*n[1], s2*n[0]+s1*n[1]
		sn, sh := n[0]*px+n[1]*py, n[0]*py-n[1]*px
		u := sh * sh * l.shear
		if sn > 0 {
			u += sn * sn * l.tension[i]
		}
		if u > worst {
			worst = u
		}
	}
	return worst
}

// bound is no smaller than square: the largest tension and the largest shear at once.
func (l *woodLimits) bound(mid, dev2 float64) float64 {
	u := dev2 * l.shear
	if dev := math.Sqrt(dev2); mid+dev > 0 {
		u += square(mid+dev) * l.most
	}
	return u
}

func square(x float64) float64 { return x * x }
