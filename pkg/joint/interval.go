package joint

import "math"

// Interval is a stretch of a joint over which traction is averaged: the mean is
// the sum of Weight[i] (1/mm) times the force ∫ t·φ_i ds at node i.
//
// A force over the integral of its own φ is the traction near its node; with c =
// ∫ φ over the stretch, divided by its length, the weights are c/∫φ. A straight
// traction is averaged exactly. (The full mass matrix in place of ∫φ would also
// be exact for parabolas, but it makes ripples between corners and midsides.)
type Interval struct {
	From, To float64 // mm from the joint's start
	Weight   []float64
}

// Intervals lays stretches of length d along a joint: one at each end, where
// tractions peak, and others between them with steps of at most d/2. A joint
// shorter than d has one. nodes are the places of the nodes along the joint, mm:
// end, midside, end, … of its element sides.
func Intervals(nodes []float64, d float64) []Interval {
	length := nodes[len(nodes)-1]
	n := 0
	if d < length {
		n = int(math.Ceil((length - d) / (d / 2)))
	} else {
		d = length
	}
	lump := shares(nodes, 0, length) // ∫φ over the joint's length
	out := make([]Interval, n+1)
	for i := range out {
		from := 0.0
		if n > 0 {
			from = (length - d) * float64(i) / float64(n)
		}
		w := &out[i]
		w.From, w.To = from, from+d
		w.Weight = shares(nodes, w.From, w.To)
		for k := range w.Weight {
			w.Weight[k] /= lump[k] * length
		}
	}
	return out
}

// shares gives ∫ φ_i ds over the stretch, divided by its length.
func shares(nodes []float64, from, to float64) []float64 {
	c := make([]float64, len(nodes))
	for side := range len(nodes) / 2 {
		i := 2 * side
		h := nodes[i+2] - nodes[i]
		a, b := (max(nodes[i], from)-nodes[i])/h, (min(nodes[i+2], to)-nodes[i])/h
		if b <= a {
			continue
		}
		i1 := (b*b - a*a) / 2
		i2 := (b*b*b - a*a*a) / 3
		f := h / (to - from)
		c[i] += f * ((b - a) - 3*i1 + 2*i2) // (1−ξ)(1−2ξ)
		c[i+1] += f * 4 * (i1 - i2)         // 4ξ(1−ξ)
		c[i+2] += f * (2*i2 - i1)           // ξ(2ξ−1)
	}
	return c
}
