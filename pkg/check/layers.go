package check

import "math"

// layers integrates profiles over a thickness.
type layers struct {
	width, z    []float64
	half, layer float64
}

func newLayers(z []float64, half, layer float64) *layers {
	l := &layers{z: z, half: half, layer: layer, width: make([]float64, len(z))}
	// Cells meet halfway between their middles; the outermost end at the faces.
	low := -half
	for i := range z {
		high := half
		if i+1 < len(z) {
			high = low + 2*(z[i]-low)
		}
		l.width[i] = high - low
		low = high
	}
	return l
}

// moments gives mean, slope, and the means over a layer at the bottom face, the
// middle and the top face, of a profile cut at limit.
func (l *layers) moments(profile []float64, limit float64) (mean, slope float64, at [3]float64) {
	h := 2 * l.half
	for i, v := range profile {
		v = math.Min(v, limit)
		mean += v * l.width[i] / h
		// ∫z over a cell is width·middle; the profile is taken as even in a cell.
		slope += 12 / (h * h * h) * v * l.z[i] * l.width[i]
	}
	for k, from := range [3]float64{-l.half, -l.layer / 2, l.half - l.layer} {
		low := -l.half
		for i, v := range profile {
			high := low + l.width[i]
			if over := math.Min(high, from+l.layer) - math.Max(low, from); over > 0 {
				at[k] += math.Min(v, limit) * over / l.layer
			}
			low = high
		}
	}
	return mean, slope, at
}
