package draw

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// axis maps values to places: lo stands at p0, hi at p1.
type axis struct{ lo, hi, p0, p1 float64 }

func (a axis) at(v float64) float64 { return a.p0 + (v-a.lo)/(a.hi-a.lo)*(a.p1-a.p0) }

// rangeOf is the range of values, opened up when they are all alike.
func rangeOf(values ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, vs := range values {
		for _, v := range vs {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	if lo > hi {
		return 0, 1
	}
	if hi-lo <= math.Max(1e-9*math.Max(math.Abs(lo), math.Abs(hi)), 1e-12) {
		pad := math.Max(math.Abs(lo)*0.02, 0.05)
		return lo - pad, hi + pad
	}
	return lo, hi
}

// ticks are round values from lo to hi, about n of them.
func ticks(lo, hi float64, n int) []float64 {
	return ticksBy(lo, hi, niceStep((hi-lo)/float64(n)))
}

// niceStep is the smallest of 1, 2, 5 times a power of ten not below v.
func niceStep(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

func ticksBy(lo, hi, step float64) []float64 {
	var out []float64
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step; k++ {
		out = append(out, k*step)
	}
	return out
}

// tickText writes the values of an axis with as many digits as its step needs.
func tickText(v, step float64) string {
	digits := int(math.Max(0, math.Ceil(-math.Log10(step)-1e-9)))
	s := fmt.Sprintf("%.*f", digits, v)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return minus(s)
}

// minus writes a figure's sign as the sign it is.
func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// leastStep is the smallest distance of two ticks.
func leastStep(ts []float64) float64 {
	step := math.Inf(1)
	for i := 1; i < len(ts); i++ {
		step = math.Min(step, ts[i]-ts[i-1])
	}
	if math.IsInf(step, 0) {
		return 1
	}
	return step
}

// polyline writes points as one open path; points nearer than a tenth of a
// unit are one.
func polyline(pts []xy) string {
	var b strings.Builder
	last := ""
	for i, p := range pts {
		s := num(p[0]) + " " + num(p[1])
		switch {
		case i == 0:
			b.WriteString("M" + s)
		case s != last:
			b.WriteString("L" + s)
		}
		last = s
	}
	return b.String()
}

// thin keeps, of the points of a long history, what a screen can show: in every
// column the first, the lowest, the highest and the last point, in their order.
func thin(pts []xy) []xy {
	if len(pts) < 1200 {
		return pts
	}
	var out []xy
	for i := 0; i < len(pts); {
		col := math.Floor(pts[i][0])
		end, lo, hi := i, i, i
		for end < len(pts) && math.Floor(pts[end][0]) == col {
			if pts[end][1] < pts[lo][1] {
				lo = end
			}
			if pts[end][1] > pts[hi][1] {
				hi = end
			}
			end++
		}
		last := -1
		for _, k := range []int{i, min(lo, hi), max(lo, hi), end - 1} {
			if k > last {
				out = append(out, pts[k])
				last = k
			}
		}
		i = end
	}
	return out
}

// lineLook tells apart the lines of one chart, by colour and by dash.
type lineLook struct{ colour, dash string }

var lineLooks = []lineLook{
	{"#1d6f86", ""}, {"#a3521a", "7 3"}, {"#5a5cc4", "2.5 2"}, {"#4d0630", "10 3 2 3"}, {"#6f7a1f", "5 2 1.5 2 1.5 2"}, {"#5b6169", "1.2 2.4"},
}

func lookOf(i int) lineLook { return lineLooks[i%len(lineLooks)] }

func (l lineLook) attrs() []string {
	out := []string{"fill", "none", "stroke", l.colour, "stroke-width", "1.9", "stroke-linejoin", "round"}
	if l.dash != "" {
		out = append(out, "stroke-dasharray", l.dash)
	}
	return out
}

// sortedKeys are the keys of a table in their order.
func sortedKeys(m map[string]float64) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
