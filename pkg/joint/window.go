package joint

import "math"

// Window is a stretch of a joint over which traction is averaged: weights for
// the stations of package plate, summing to 1.
type Window struct {
	From, To float64 // mm from the joint's start
	First    int     // number of the first station with weight
	Weight   []float64
}

// Windows lays stretches of length d along a joint of the given length: one at
// each end, where tractions peak, and others between them with steps of at most
// d/2. A joint shorter than d has one. Stations come in pairs (start and end of
// an element side); traction runs straight between the two of a pair.
func Windows(stations []float64, length, d float64) []Window {
	if d >= length {
		return []Window{window(stations, 0, length)}
	}
	n := int(math.Ceil((length - d) / (d / 2)))
	out := make([]Window, 0, n+1)
	for i := 0; i <= n; i++ {
		from := (length - d) * float64(i) / float64(n)
		out = append(out, window(stations, from, from+d))
	}
	return out
}

// window integrates the straight pieces exactly.
func window(st []float64, from, to float64) Window {
	w := Window{From: from, To: to, First: -1}
	width := to - from
	for i := 0; i+1 < len(st); i += 2 {
		a, b := math.Max(st[i], from), math.Min(st[i+1], to)
		if b <= a {
			if w.First >= 0 {
				break
			}
			continue
		}
		if w.First < 0 {
			w.First = i
		}
		// Mean of the straight line over a…b, times the share of the window.
		m := ((a+b)/2 - st[i]) / (st[i+1] - st[i])
		share := (b - a) / width
		w.Weight = append(w.Weight, share*(1-m), share*m)
	}
	return w
}

// Mean applies the weights to values at the stations.
func (w *Window) Mean(values []float64) float64 {
	sum := 0.0
	for i, c := range w.Weight {
		sum += c * values[w.First+i]
	}
	return sum
}
