package influence

import "math"

// stack integrates profiles over a thickness.
type stack struct {
	width, z    []float64
	half, layer float64
	sumZ2       float64 // Σ z² width, mm³: the first moment of a profile of slope 1
}

// newStack divides a thickness [mm] by the nodes of a history. The walls stand
// half-way between the nodes, as package moisture has them, not the nodes in the
// middles of cells.
func newStack(z []float64, half, layer float64) *stack {
	l := &stack{z: z, half: half, layer: layer, width: make([]float64, len(z))}
	low := -half
	for i := range z {
		high := half
		if i+1 < len(z) {
			high = (z[i] + z[i+1]) / 2
		}
		l.width[i] = high - low
		l.sumZ2 += z[i] * z[i] * l.width[i]
		low = high
	}
	return l
}

// middles are the middles of the layers [mm].
func (l *stack) middles() []float64 {
	out := make([]float64, len(l.width))
	low := -l.half
	for i, w := range l.width {
		out[i] = low + w/2
		low += w
	}
	return out
}

// faceLayer is the depth [mm] over which the stress at a face is averaged when it
// is asked whether the wood checks. The coupled criterion for a crack of depth a
// from the face wants a mean stress over a of the strength f and a mean over a of
// K² of the toughness K_c². With d = (2/π)·(K_c/f)², wood's characteristic length,
// and K = 1.1215·s·√(πa) at a face under even stress s, that is a mean over
// d/1.1215². Under the parabola 1 − 6z/h + 6z²/h² of slow drying, which balances
// itself, the crack runs into pressure and needs more: the mean over this depth
// reaches f within 6 % of where the criterion is met, for h from d up. Without
// the second term a board thinner than 2d could not check at all.
func faceLayer(d, h float64) float64 { return 1 / (1.1215*1.1215/d + 2.1/h) }

// moments gives mean and slope of a profile cut at limit.
func (l *stack) moments(profile []float64, limit float64) (mean, slope float64) {
	for i, v := range profile {
		mean += min(v, limit) * l.width[i] / (2 * l.half)
	}
	for i, v := range profile {
		slope += (min(v, limit) - mean) * l.z[i] * l.width[i] / l.sumZ2
	}
	return mean, slope
}

// faces gives the means over a layer at the bottom face, the middle and the top face.
func (l *stack) faces(profile []float64) (at [3]float64) {
	for k, from := range [3]float64{-l.half, -l.layer / 2, l.half - l.layer} {
		low := -l.half
		for i, v := range profile {
			high := low + l.width[i]
			if over := min(high, from+l.layer) - max(low, from); over > 0 {
				at[k] += v * over / l.layer
			}
			low = high
		}
	}
	return at
}

// changeWalls are the walls of the layers for which the sum of changes of moisture is
// kept, as shares of the thickness from the bottom up: thin at the faces, where the
// changes of a wash stay. See TestLayersOfChangesAreFineEnough.
var changeWalls = [...]float64{0, 0.01, 0.03, 0.07, 0.15, 0.3, 0.5, 0.7, 0.85, 0.93, 0.97, 0.99, 1}

const changeLayers = len(changeWalls) - 1

// shareOfMean is the share of a layer in what holds a mean of stress.
func shareOfMean(l int) float64 { return changeWalls[l+1] - changeWalls[l] }

// shareOfSlope is the share of a layer in what holds a slope of stress: ∫z² over it,
// over that of the whole.
func shareOfSlope(l int) float64 {
	low, high := 2*changeWalls[l]-1, 2*changeWalls[l+1]-1
	return (high*high*high - low*low*low) / 2
}

// accumulated sums up the changes of profiles cut at limit: per time, in the layers from
// the bottom up.
func (l *stack) accumulated(profiles [][]float64, limit float64) [][]float64 {
	type part struct {
		cell  int
		share float64
	}
	var places [changeLayers][]part
	for p := range places {
		from, thick := l.half*(2*changeWalls[p]-1), 2*l.half*shareOfMean(p)
		low := -l.half
		for i, w := range l.width {
			if in := min(low+w, from+thick) - max(low, from); in > 0 {
				places[p] = append(places[p], part{i, in / thick})
			}
			low += w
		}
	}
	out := make([][]float64, len(profiles))
	change := make([]float64, len(l.width))
	for t := range profiles {
		out[t] = make([]float64, changeLayers)
		if t == 0 {
			continue
		}
		for i, v := range profiles[t] {
			change[i] = math.Abs(min(v, limit) - min(profiles[t-1][i], limit))
		}
		for p, parts := range places {
			out[t][p] = out[t-1][p]
			for _, q := range parts {
				out[t][p] += q.share * change[q.cell]
			}
		}
	}
	return out
}
