package outline

import "math"

// mostSteps bounds the corners of one curve.
const mostSteps = 1000

// steps is into how many equal steps of its parameter a curve is divided so that no
// chord lies further from it than flat: a chord over a step h misses a curve by at most
// h²·max|B″|/8, the bound of linear interpolation.
func steps(second, flat float64) int {
	n := math.Ceil(math.Sqrt(second / (8 * flat)))
	if !(n > 1) {
		return 1
	}
	return int(math.Min(n, mostSteps))
}

func second(a, b, c xy) float64 {
	return math.Hypot(a[0]-2*b[0]+c[0], a[1]-2*b[1]+c[1])
}

// cubic adds the corners of a cubic Bézier curve: |B″| ≤ 6·max of the second
// differences of its control points.
func (t *tracer) cubic(b, c, d xy) {
	a := t.at
	n := steps(6*math.Max(second(a, b, c), second(b, c, d)), t.flat)
	for i := 1; i < n; i++ {
		u := float64(i) / float64(n)
		w := 1 - u
		var p xy
		for k := range p {
			p[k] = w*w*w*a[k] + 3*w*w*u*b[k] + 3*w*u*u*c[k] + u*u*u*d[k]
		}
		t.line(p)
	}
	t.line(d)
	t.handle = c
}

// quadratic adds the corners of a quadratic one: |B″| is twice the second difference.
func (t *tracer) quadratic(b, c xy) {
	a := t.at
	n := steps(2*second(a, b, c), t.flat)
	for i := 1; i < n; i++ {
		u := float64(i) / float64(n)
		w := 1 - u
		t.line(xy{w*w*a[0] + 2*w*u*b[0] + u*u*c[0], w*w*a[1] + 2*w*u*b[1] + u*u*c[1]})
	}
	t.line(c)
	t.handle = b
}

// arc adds the corners of an elliptical arc, from its ends to its centre as in SVG 1.1
// appendix F.6.5 and F.6.6. |B″| is the longer radius for an angle as parameter.
func (t *tracer) arc(rx, ry, tilt float64, large, sweep bool, to xy) {
	from := t.at
	rx, ry = math.Abs(rx), math.Abs(ry)
	if from == to {
		return
	}
	if rx == 0 || ry == 0 {
		t.line(to)
		return
	}
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	dx, dy := (from[0]-to[0])/2, (from[1]-to[1])/2
	x, y := cos*dx+sin*dy, -sin*dx+cos*dy // F.6.5.1
	if l := x*x/(rx*rx) + y*y/(ry*ry); l > 1 {
		rx, ry = rx*math.Sqrt(l), ry*math.Sqrt(l) // F.6.6.3
	}
	k := math.Sqrt(math.Max(0, (rx*rx*ry*ry-rx*rx*y*y-ry*ry*x*x)/(rx*rx*y*y+ry*ry*x*x)))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx // F.6.5.2
	mx, my := cos*cx-sin*cy+(from[0]+to[0])/2, sin*cx+cos*cy+(from[1]+to[1])/2
	a0 := math.Atan2((y-cy)/ry, (x-cx)/rx)
	turn := math.Remainder(math.Atan2((-y-cy)/ry, (-x-cx)/rx)-a0, 2*math.Pi)
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	n := max(steps(math.Max(rx, ry)*turn*turn, t.flat), int(math.Ceil(math.Abs(turn)/(math.Pi/2))))
	for i := 1; i < n; i++ {
		s, c := math.Sincos(a0 + turn*float64(i)/float64(n))
		t.line(xy{mx + cos*rx*c - sin*ry*s, my + sin*rx*c + cos*ry*s})
	}
	t.line(to)
}
