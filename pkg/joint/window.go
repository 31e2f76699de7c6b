package joint

import "math"

// Window is a stretch of a joint over which traction is averaged: the mean is
// the sum of Weight[i] (1/mm) times the force ∫ t·φ_i ds at node i.
//
// The forces are all that is known of the traction, so the stretch is first
// projected onto the nodes' own functions: with M the mass matrix ∫ φφᵀ and
// c = ∫ φ over the stretch, divided by its length, the weights are M⁻¹c. At a
// joint's end, where tractions are steep, the projection is exact.
type Window struct {
	From, To float64 // mm from the joint's start
	Weight   []float64
}

// Windows lays stretches of length d along a joint: one at each end, where
// tractions peak, and others between them with steps of at most d/2. A joint
// shorter than d has one. nodes are the places of the nodes along the joint, mm:
// end, midside, end, … of its element sides.
func Windows(nodes []float64, d float64) []Window {
	length := nodes[len(nodes)-1]
	n := 0
	if d < length {
		n = int(math.Ceil((length - d) / (d / 2)))
	} else {
		d = length
	}
	m := massMatrix(nodes)
	m.factor()
	out := make([]Window, n+1)
	for i := range out {
		from := 0.0
		if n > 0 {
			from = (length - d) * float64(i) / float64(n)
		}
		w := &out[i]
		w.From, w.To = from, from+d
		w.Weight = shares(nodes, w.From, w.To)
		m.solve(w.Weight)
	}
	return out
}

// shares gives ∫ φ_i ds over the stretch, divided by its length.
func shares(nodes []float64, from, to float64) []float64 {
	c := make([]float64, len(nodes))
	for i := 0; i+2 < len(nodes); i += 2 {
		h := nodes[i+2] - nodes[i]
		a, b := (math.Max(nodes[i], from)-nodes[i])/h, (math.Min(nodes[i+2], to)-nodes[i])/h
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

// band is a symmetric positive definite matrix with two side diagonals.
type band [3][]float64

// massMatrix is ∫ φφᵀ of quadratic functions on the element sides: h/30 times
// 4 2 −1 / 2 16 2 / −1 2 4.
func massMatrix(nodes []float64) *band {
	var m band
	for k := range m {
		m[k] = make([]float64, len(nodes))
	}
	for i := 0; i+2 < len(nodes); i += 2 {
		h := (nodes[i+2] - nodes[i]) / 30
		m[0][i] += 4 * h
		m[0][i+1] += 16 * h
		m[0][i+2] += 4 * h
		m[1][i] += 2 * h
		m[1][i+1] += 2 * h
		m[2][i] -= h
	}
	return &m
}

// factor turns the matrix into its Cholesky factor.
func (m *band) factor() {
	n := len(m[0])
	for i := 0; i < n; i++ {
		d := math.Sqrt(m[0][i])
		m[0][i] = d
		m[1][i] /= d
		m[2][i] /= d
		if i+1 < n {
			m[0][i+1] -= m[1][i] * m[1][i]
			m[1][i+1] -= m[1][i] * m[2][i]
		}
		if i+2 < n {
			m[0][i+2] -= m[2][i] * m[2][i]
		}
	}
}

func (m *band) solve(x []float64) {
	n := len(x)
	for i := 0; i < n; i++ {
		x[i] /= m[0][i]
		if i+1 < n {
			x[i+1] -= m[1][i] * x[i]
		}
		if i+2 < n {
			x[i+2] -= m[2][i] * x[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		if i+1 < n {
			x[i] -= m[1][i] * x[i+1]
		}
		if i+2 < n {
			x[i] -= m[2][i] * x[i+2]
		}
		x[i] /= m[0][i]
	}
}
