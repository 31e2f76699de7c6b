package layers

import "math"

// Toughness is what a crack from a face into the section meets.
type Toughness struct {
	Energy  float64                         // J/m² that it takes to run
	Release func(intensity float64) float64 // J/m² that a stress intensity [MPa·√m] sets free
}

// Check is how deep the wood opens from one face.
type Check struct {
	Fine  float64 // mm to which tension stands at strength: checks too fine to be one crack
	Depth float64 // mm to which one of them runs by the energy it sets free; Fine at least
	Top   bool
}

// atStrength is the share of strength from which a layer counts as there.
const atStrength = 0.999

// DeepestShare is the depth over the thickness to which the weight function holds.
const DeepestShare = 0.5

// Checks is how deep the wood opens from the face where it opens further, under a
// stress [MPa per layer] and strength [MPa per layer]. Tension stands at strength
// no deeper than Fine; where the energy set free by a crack so deep suffices, it
// runs on until it does not.
func (s *Section) Checks(stress, strength []float64, t Toughness) Check {
	bottom := s.check(stress, strength, t, false)
	if top := s.check(stress, strength, t, true); top.Depth > bottom.Depth {
		return top
	}
	return bottom
}

func (s *Section) check(stress, strength []float64, t Toughness, top bool) Check {
	c := Check{Top: top}
	n := len(s.Z)
	for i := range n {
		k := i
		if top {
			k = n - 1 - i
		}
		if stress[k] < atStrength*strength[k] {
			break
		}
		c.Fine += s.Width[k]
	}
	c.Depth = c.Fine
	if c.Fine == 0 || s.Release(stress, c.Fine, top, t) < t.Energy {
		return c
	}
	whole := s.thickness()
	for a := c.Fine; a <= DeepestShare*whole; a += whole / 100 {
		if s.Release(stress, a, top, t) < t.Energy {
			break
		}
		c.Depth = a
	}
	return c
}

func (s *Section) thickness() (h float64) {
	for _, w := range s.Width {
		h += w
	}
	return h
}

// Release is the energy [J/m²] that a crack from a face as deep as depth [mm, up to
// half of the thickness] sets free a mm further.
func (s *Section) Release(stress []float64, depth float64, top bool, t Toughness) float64 {
	k := s.Intensity(stress, depth, top)
	if k <= 0 {
		return 0 // pressed together at its tip
	}
	return t.Release(k)
}

const metre = 1000.0 // mm

// Intensity is the stress intensity [MPa·√m] of a crack from a face, as deep as depth
// [mm], under the stress of the sound section:
//
//	K = ∫₀ᵃ σ(x)·√(2/(π(a−x)))·[1 + m₁·(a−x)/a + m₂·((a−x)/a)²] dx        (3)
//	m₁ = 0.6147 + 17.1844·(a/h)² + 8.7822·(a/h)⁶
//	m₂ = 0.2502 + 3.2889·(a/h)² + 70.0444·(a/h)⁶
//
// the weight function of a strip with an edge crack that may bend (Bückner,
// Zeitschrift für angewandte Mathematik und Mechanik 50, 1970; from memory, held to
// closed forms by test), for a/h up to one half. Stress is even within a layer, and
// the integral over each is exact.
func (s *Section) Intensity(stress []float64, depth float64, top bool) float64 {
	sum := 0.0
	for i, w := range s.weights(depth, top) {
		sum += w * stress[i]
	}
	return sum
}

// weights are (3) layer by layer: the stress intensity [√m] for one MPa in each.
func (s *Section) weights(depth float64, top bool) []float64 {
	r := depth / s.thickness()
	r2 := r * r
	r6 := r2 * r2 * r2
	m1, m2 := 0.6147+17.1844*r2+8.7822*r6, 0.2502+3.2889*r2+70.0444*r6
	// With y = a − x: ∫ y^(−1/2)·(1 + m₁·y/a + m₂·y²/a²) dy.
	inner := func(y float64) float64 {
		q := y / depth
		return 2 * math.Sqrt(y) * (1 + m1*q/3 + m2*q*q/5)
	}
	return s.down(depth, top, func(from, to float64) float64 {
		return math.Sqrt(2/math.Pi/metre) * (inner(depth-from) - inner(depth-to))
	})
}

// down gives a figure of every layer down to a depth [mm] from a face, of whose reach
// it tells the ends [mm from the face]; 0 for the layers beyond.
func (s *Section) down(depth float64, top bool, of func(from, to float64) float64) []float64 {
	n := len(s.Z)
	out := make([]float64, n)
	x := 0.0
	for i := 0; i < n && x < depth; i++ {
		k := i
		if top {
			k = n - 1 - i
		}
		end := min(depth, x+s.Width[k])
		out[k] = of(x, end)
		x = end
	}
	return out
}
