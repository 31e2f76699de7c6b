package sparse

import (
	"math"
	"slices"
)

// period is the distance in each direction at which the groups of a board repeat
// themselves, 0 for none. Cutting at multiples of it puts the same parts of the
// pattern into clusters again and again. The first cut along a direction is the
// origin of all others.
type period struct {
	every  [2]float64
	origin [2]float64
	set    [2]bool
}

// inStep says whether a cut lies a whole number of repeats from the origin.
func (r *period) inStep(a int, place float64) bool {
	if r == nil || r.every[a] == 0 || !r.set[a] {
		return true
	}
	t := (place - r.origin[a]) / r.every[a]
	return math.Abs(t-math.Round(t)) <= 1e-4
}

// start makes the first cut along a direction the origin.
func (r *period) start(a int, place float64) {
	if r != nil && !r.set[a] {
		r.origin[a], r.set[a] = place, true
	}
}

// findPeriod looks for the smallest shift along each direction that carries
// most groups onto groups of the same kind.
func findPeriod(boxes []box, kinds []uint64) *period {
	whole := emptyBox()
	for i := range boxes {
		whole.join(boxes[i])
	}
	period := &period{}
	if len(boxes) < 8 {
		return period
	}
	size := max(whole.hi[0]-whole.lo[0], whole.hi[1]-whole.lo[1])
	grain := 1e-5 * size
	type cell struct{ x, y int64 }
	at := make(map[cell]uint64, len(boxes))
	cellOf := func(x, y float64) cell {
		return cell{int64(math.Round((x - whole.lo[0]) / grain)), int64(math.Round((y - whole.lo[1]) / grain))}
	}
	for i := range boxes {
		at[cellOf(boxes[i].middle(0), boxes[i].middle(1))] = kinds[i]
	}
	for a := range 2 {
		for _, shift := range shifts(boxes, a, &whole, grain) {
			met, missed, allowed := 0, 0, len(boxes)/4
			for i := range boxes {
				c := [2]float64{boxes[i].middle(0), boxes[i].middle(1)}
				c[a] += shift
				if c[a] > whole.hi[a] {
					continue
				}
				kind, ok := at[cellOf(c[0], c[1])]
				if ok && kind == kinds[i] {
					met++
				} else if missed++; missed > allowed {
					break
				}
			}
			if missed <= allowed && met > 3*missed {
				period.every[a] = shift
				break
			}
		}
	}
	return period
}

// shifts lists the distances from the group in the middle of the board to the
// nearest ones straight ahead of it along a.
func shifts(boxes []box, a int, whole *box, grain float64) []float64 {
	away := func(i int) float64 {
		return math.Hypot(boxes[i].middle(0)-whole.middle(0), boxes[i].middle(1)-whole.middle(1))
	}
	centre := 0
	for i := range boxes {
		if away(i) < away(centre)-grain {
			centre = i
		}
	}
	var ahead []float64
	for i := range boxes {
		d := boxes[i].middle(a) - boxes[centre].middle(a)
		if d > grain && math.Abs(boxes[i].middle(1-a)-boxes[centre].middle(1-a)) <= grain {
			ahead = append(ahead, d)
		}
	}
	slices.Sort(ahead)
	return ahead[:min(len(ahead), 16)]
}
