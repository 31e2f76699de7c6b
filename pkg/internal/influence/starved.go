package influence

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/fracture"
)

// lesser is a stretch of a joint that has numbers of its own, behind all joints of its
// line: a share of the bond's strength, and the square of it of the toughness, so that the
// length on which the two meet is that of sound wood.
type lesser struct {
	joint int // of the line
	share float64
}

// less adds such a stretch to the sides that have a number; it gives theirs.
func (lm *LineModel) less(number int, share float64) int {
	n := len(lm.Line.Joints)
	if number >= n {
		share *= lm.weak[number-n].share
	}
	j := lm.jointOf(number)
	lm.weak = append(lm.weak, lesser{j, share})
	t := lm.Crack.Tough[j]
	lm.Crack.Tough = append(lm.Crack.Tough, fracture.Toughness{Open: share * share * t.Open, Slide: share * share * t.Slide, Exponent: t.Exponent})
	return n + len(lm.weak) - 1
}

// starve gives the sides of a path on starved stretches of its joints less to bear. A stretch
// is made of whole sides, of at least the one it lies in.
func (m *Model) starve(lm *LineModel) {
	for i := range m.Board.Starved {
		s := &m.Board.Starved[i]
		c := lm.Crack
		length, nearest, off := s.Length(), -1, math.Inf(1)
		joints, numbers := slices.Clone(c.Joint), map[int]int{}
		weaker := func(k int) {
			n := c.Joint[k]
			if _, ok := numbers[n]; !ok {
				numbers[n] = lm.less(n, s.Keeps)
			}
			joints[k] = numbers[n]
		}
		for k := range c.Joint {
			at, on := s.Along(lm.Line.Place((c.Place[2*k] + c.Place[2*k+2]) / 2))
			switch half := (c.Place[2*k+2] - c.Place[2*k]) / 2; {
			case !on:
			case at > 0 && at < length:
				weaker(k)
			case math.Abs(at-length/2) < min(off, half):
				nearest, off = k, math.Abs(at-length/2)
			}
		}
		if nearest >= 0 && len(numbers) == 0 {
			weaker(nearest)
		}
		c.Joint = joints
	}
}
