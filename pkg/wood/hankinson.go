package wood

import "math"

// Hankinson returns the strength (or stiffness) at an angle to the grain [degrees]
// from its values along (p) and across (q) the grain, in their unit:
// N = p·q/(p·sinⁿ + q·cosⁿ). The exponent n is 2 in Hankinson's own form; the
// handbook lists 1.5 to 2 for tension and bending, 2 to 2.5 for compression.
func Hankinson(p, q, angleDeg, n float64) float64 {
	s, c := sincos(angleDeg)
	return p * q / (p*math.Pow(math.Abs(s), n) + q*math.Pow(math.Abs(c), n))
}
