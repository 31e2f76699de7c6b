package moisture

import "math"

// cells is the division of the thickness into finite volumes, from the bottom
// face up, symmetric about the mid-plane and graded towards both faces.
type cells struct {
	z     []float64 // nodes, mm from the mid-plane
	width []float64 // mm
	gap   []float64 // distance of neighbouring nodes, mm; len(z)−1
	sumZ2 float64   // Σ z² width, mm³: what a unit slope gives as first moment
}

// finest is the width of the outermost cell as a share of the thickness: a
// wetting of ten minutes reaches about a tenth of a millimetre across the
// fibres, as much as the outermost cell of a common board.
const finest = 1.0 / 300

// newCells divides a thickness [mm] into n cells (even, at least 4). The walls
// stand half-way between the nodes, which makes the flow through a wall second
// order however steep the grading; the nodes are then a little off the middles
// of their cells.
func newCells(thickness float64, n int) cells {
	half := n / 2
	// distance from the face to the mid-plane when the gaps grow by r: half a
	// gap to the first node, all gaps on this side, half the gap across the middle
	reach := func(r float64) float64 {
		x, gap := finest/2, finest
		for range half - 1 {
			x, gap = x+gap, gap*r
		}
		return x + gap/2
	}
	growth := 1.0
	if reach(1) < 0.5 {
		growth = bisectRising(func(r float64) float64 { return reach(r) - 0.5 }, 1, 400, 1e-14)
	}
	c := cells{z: make([]float64, n), width: make([]float64, n), gap: make([]float64, n-1)}
	gap := finest * thickness / (2 * reach(growth))
	x, wall := gap/2-thickness/2, -thickness/2
	for i := range half {
		next := x + gap/2
		if i == half-1 {
			next = 0
		}
		c.z[i], c.width[i] = x, next-wall
		c.z[n-1-i], c.width[n-1-i] = -x, next-wall
		x, wall, gap = x+gap, next, gap*growth
	}
	for i := range c.gap {
		c.gap[i] = c.z[i+1] - c.z[i]
	}
	for i, z := range c.z {
		c.sumZ2 += z * z * c.width[i]
	}
	return c
}

// mean and first moment of a profile: the mean [% MC] and the slope [% MC per
// mm, positive when the top is wetter] of the straight line with the same
// first moment. Dividing by Σ z² width makes a straight profile come back exactly.
func (c cells) moments(m []float64) (mean, slope float64) {
	h := 0.0
	for i, v := range m {
		mean += v * c.width[i]
		h += c.width[i]
	}
	mean /= h
	for i, v := range m {
		slope += (v - mean) * c.z[i] * c.width[i]
	}
	return mean, slope / c.sumZ2
}

// mid is the moisture at the mid-plane, by the parabola-free mean of the two
// middle cells, which are mirror images of each other.
func (c cells) mid(m []float64) float64 {
	n := len(m)
	return (m[n/2-1] + m[n/2]) / 2
}

// total is ∫ m dz, % mm.
func (c cells) total(m []float64) float64 {
	s := 0.0
	for i, v := range m {
		s += v * c.width[i]
	}
	return s
}

// largest is the greatest size in a vector.
func largest(v []float64) float64 {
	m := 0.0
	for _, x := range v {
		m = max(m, math.Abs(x))
	}
	return m
}
