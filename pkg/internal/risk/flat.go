package risk

import "math"

// FlatSpread is the standard deviation of the logarithm of how far a board lies out
// of flat (dimensionless): it goes with what the wood moves by, in full, and with
// nothing that makes cracks; where a face drinks water, with how much.
func FlatSpread(drinks bool) float64 {
	keys := []string{"shrinkage", "climate", "gluing"}
	if drinks {
		keys = append(keys, "uptake")
	}
	sum := 0.0
	for _, k := range keys {
		sum += spreads()[k] * spreads()[k]
	}
	return math.Sqrt(sum)
}
