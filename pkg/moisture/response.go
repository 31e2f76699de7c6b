package moisture

import (
	"context"
	"fmt"
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
	target := equilibrium(temperature, toRH)
	left := func(r *run) float64 { return (target - r.s.total(r.now)/c.Thickness) / (target - c.M0) }
	at, err := reach(ctx, m, c, to, left, 0.5, 0.1)
	if err != nil {
		return 0, 0, err
	}
	return at[0], at[1], nil
}

// Slab gives the two constants of a column in still air for sums by hand: the
// diffusivity [mm²/h] through its thickness at the moisture in balance with the air, and
// the coefficient [mm/h] of the linear law at a face (see SurfaceEmission), mean of both.
// Column.M0 is not used. Errors: a fault.List as Simulate.
func (c Column) Slab(air Room) (diffusion, emitted float64, err error) {
	c.M0 = equilibrium(air.Temperature, air.Humidity)
	m, l := c.material()
	if l = append(l, air.Faults("/air")...); len(l) > 0 {
		return 0, 0, l
	}
	_, diffusion = newDiffusivities(m).table(air.Temperature).at(c.M0)
	for _, film := range m.film {
		emitted += mmPerHour * emission(m.density, air, film) / 2
	}
	return diffusion, emitted, nil
}

// Settle returns how long a column takes in an air that meets both its faces until
// no layer of it is further than some % MC from the moisture in balance with that air
// [h]; 0 when it is there from the start, infinite when it takes longer than
// LongestResponse.
//
// Errors: a fault.List as Simulate, "/air" for the air and "/within" for a distance
// that is not above 0; deadline when ctx ends.
func Settle(ctx context.Context, c Column, air Room, within float64) (hours float64, err error) {
	m, l := c.material()
	l = append(l, air.Faults("/air")...)
	if !(within > 0) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/within", Detail: "the distance from balance is outside its range", Found: fmt.Sprintf("%g %% MC", within), Allowed: "above 0 % MC"})
	}
	if len(l) > 0 {
		return 0, l
	}
	target := equilibrium(air.Temperature, air.Humidity)
	if math.Abs(c.M0-target) <= within {
		return 0, nil
	}
	furthest := func(r *run) float64 {
		far := 0.0
		for _, mc := range r.now {
			far = max(far, math.Abs(mc-target))
		}
		return far
	}
	at, err := reach(ctx, m, c, air, furthest, within)
	if err != nil {
		return 0, err
	}
	return at[0], nil
}

// reach follows a column with both faces in an air until a measure of what is left
// to do, which falls, has come down to each of the levels, which fall too, and returns
// those times [h]; infinite past LongestResponse.
func reach(ctx context.Context, m material, c Column, air Room, left func(*run) float64, levels ...float64) ([]float64, error) {
	opt, _ := Options{}.filled()
	r := newRun(m, c.Thickness, c.M0, opt)
	p := Phase{Hours: LongestResponse, Top: Face{Kind: Air, Room: air}, Bottom: Face{Kind: Air, Room: air}}
	r.enter(p)
	// between two looks the approach is near enough exponential for a straight line; 4 % apart keeps it within 0.1 %
	const look = 1.04
	var at []float64
	t, was := 0.0, left(r)
	for next := 0.01; next < LongestResponse; next *= look {
		if err := r.advance(ctx, p, next); err != nil {
			return nil, err
		}
		now := left(r)
		for len(at) < len(levels) && now <= levels[len(at)] {
			at = append(at, t+(was-levels[len(at)])/(was-now)*(next-t))
		}
		if len(at) == len(levels) {
			return at, nil
		}
		t, was = next, now
	}
	for len(at) < len(levels) {
		at = append(at, math.Inf(1))
	}
	return at, nil
}
