package moisture

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// week is what a maker waits between two weighings, h.
const week = 7 * 24

// SettleStick is Settle of a stick of a width [mm] and of the column's thickness, open on
// four sides: hours until no place of it is further than within [% MC] from balance with
// the air, and how far its mean still moved in the last week of them, % MC. A stick that
// is so near already takes none.
//
// Under one diffusivity what is left in a bar is the product of what is left in the two
// sheets that make it (Newman's product; Carslaw and Jaeger 1959, §1.15, from memory),
// at its middle as of its mean. That it changes with moisture is taken sheet by sheet.
//
// Errors: those of Settle, and of a width as of a thickness at "/width".
func SettleStick(ctx context.Context, c Column, width float64, air Room, within float64) (hours, lastWeek float64, err error) {
	if _, err := Settle(ctx, Column{Species: c.Species, Along: c.Along, Thickness: c.Thickness, M0: equilibrium(air.Temperature, air.Humidity)}, air, within); err != nil {
		return 0, 0, err // says what is wrong and follows nothing
	}
	m, l := c.material()
	if !(width >= MinThickness) || math.IsInf(width, 0) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/width", Detail: "the width is outside its range", Found: fmt.Sprintf("%g mm", width), Allowed: fmt.Sprintf("%g mm and more", MinThickness)})
	}
	if len(l) > 0 {
		return 0, 0, l
	}
	target := equilibrium(air.Temperature, air.Humidity)
	all := math.Abs(c.M0 - target)
	if all <= within {
		return 0, 0, nil
	}
	opt, _ := Options{}.filled()
	p := Phase{Hours: LongestResponse, Top: Face{Kind: Air, Room: air}, Bottom: Face{Kind: Air, Room: air}}
	sheets := [2]*run{newRun(m, c.Thickness, c.M0, opt), newRun(m, width, c.M0, opt)}
	for _, r := range sheets {
		r.enter(p)
	}
	times, means := []float64{0}, []float64{1} // share of the whole change that the mean has left
	was := 1.0
	for next := 0.01; next < LongestResponse; next *= 1.04 { // as in reach
		middle, mean := 1.0, 1.0
		for i, r := range sheets {
			if err := r.advance(ctx, p, next); err != nil {
				return 0, 0, err
			}
			far := 0.0
			for _, mc := range r.now {
				far = math.Max(far, math.Abs(mc-target))
			}
			middle *= far / all
			mean *= (r.s.total(r.now)/[2]float64{c.Thickness, width}[i] - target) / (c.M0 - target)
		}
		t := times[len(times)-1]
		times, means = append(times, next), append(means, mean)
		if middle*all <= within {
			at := t + (was-within/all)/(was-middle)*(next-t)
			return at, all * (left(times, means, at-week) - left(times, means, at)), nil
		}
		was = middle
	}
	return math.Inf(1), 0, nil
}

// left reads a course at a time, in a straight line between its points.
func left(times, values []float64, at float64) float64 {
	for i := 1; i < len(times); i++ {
		if at <= times[i] {
			return values[i-1] + (values[i]-values[i-1])*math.Max(0, at-times[i-1])/(times[i]-times[i-1])
		}
	}
	return values[len(values)-1]
}
