package moisture

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// LongestResponse is where the search for a response stops, h: forty years. A
// thick board under a dense finish is slower.
const LongestResponse = 40 * HoursPerYear

// ResponseTimes returns how long the mean moisture of the column takes to make
// half and nine tenths of its whole change [h] when the air on both faces goes
// suddenly from one relative humidity to another [%] at a temperature [°C].
// Column.M0 is not used: the column starts in balance with the first humidity.
// What takes longer than LongestResponse is infinite.
//
// Errors: a fault.List as Simulate; not-allowed when the humidities are equal;
// deadline when ctx ends.
func ResponseTimes(ctx context.Context, c Column, fromRH, toRH, temperature float64) (half, ninety float64, err error) {
	l := Room{Humidity: fromRH, Temperature: temperature}.Faults("/from")
	to := Room{Humidity: toRH, Temperature: temperature}
	l = append(l, to.Faults("/to")...)
	if len(l) == 0 && fromRH == toRH {
		l = append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/to/humidity", Detail: "both humidities are the same: there is nothing to follow"})
	}
	if len(l) > 0 {
		return 0, 0, l
	}
	c.M0 = equilibrium(temperature, fromRH)
	m, l := c.material()
	if len(l) > 0 {
		return 0, 0, l
	}
	opt, _ := Options{}.filled()
	r := newRun(m, c.Thickness, c.M0, opt)
	p := Phase{Hours: LongestResponse, Top: Face{Kind: Air, Room: to}, Bottom: Face{Kind: Air, Room: to}}
	r.enter(p)
	target := equilibrium(temperature, toRH)
	share := func() float64 { return (r.s.total(r.now)/c.Thickness - c.M0) / (target - c.M0) }
	// between two looks the approach is near enough exponential for a straight line; 4 % apart keeps it within 0.1 %
	const look = 1.04
	half = math.Inf(1)
	t, e := 0.0, 0.0
	for next := 0.01; next < LongestResponse; next *= look {
		if err := r.advance(ctx, p, next); err != nil {
			return 0, 0, err
		}
		now := share()
		if math.IsInf(half, 1) && now >= 0.5 {
			half = t + (0.5-e)/(now-e)*(next-t)
		}
		if now >= 0.9 {
			return half, t + (0.9-e)/(now-e)*(next-t), nil
		}
		t, e = next, now
	}
	return half, math.Inf(1), nil
}
