package moisture

import (
	"context"
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Rim is how far the wood runs ahead of the middle of the board on a line from rim to
// rim, as means over the thickness.
type Rim struct {
	At, Width []float64   // mm from the first end: the cells and how much of the line is theirs
	Ahead     [][]float64 // % MC by time and cell: moisture less that of the middle
}

// longestRim is the length [mm] of line that is followed: what lies deeper between two
// ends hears nothing of them.
const longestRim = 240.0

// SimulateRim follows the moisture on a line of a length [mm] whose ends lie open at
// the rim of a board. line is the wood along it: Along where the fibres run with it;
// its thickness does not count. across is the same wood through the board, and middle
// its history in the same phases.
//
// The rim dries, or drinks, through its end as a column does through its faces, and
// exchanges with the air above and below as the middle does:
//
//	∂m/∂t = ∂/∂x (D ∂m/∂x) + dM/dt − (m − M)/τ,  τ = h²/(π²D_z) + h/(2S)   (1)
//
// with M the middle, h the thickness, D_z the diffusivity through it and S the surface
// coefficient: the slowest term of the product of two one-dimensional solutions
// (Crank, ch. 2.5). It meets a two-dimensional solution within 0.02 of the step on
// long grain, and within 0.06 at the sides of a thick block of end grain, whose first
// weeks its slowest term does not tell.
//
// Errors: those of Simulate.
func SimulateRim(ctx context.Context, line, across Column, length float64, middle *History, phases []Phase) (*Rim, error) {
	whole := min(length, longestRim)
	line.Thickness = max(whole, MinThickness)
	m, l := line.material()
	thin, more := across.material()
	l = append(append(l, more...), phaseFaults(phases)...)
	opt, more := Options{}.filled()
	if l = append(l, more...); len(l) > 0 {
		return nil, fault.List(l)
	}
	r := newRun(m, line.Thickness, line.M0, opt)
	side := &sideways{middle: middle, thickness: across.Thickness, m: thin, d: newDiffusivities(thin)}
	r.side = side
	out := &Rim{}
	for i, z := range r.s.z {
		x := z + whole/2
		if z > 0 {
			x += length - whole
		}
		out.At, out.Width = append(out.At, x), append(out.Width, r.s.width[i])
	}
	half := len(r.s.z) / 2
	out.Width[half-1] += (length - whole) / 2
	out.Width[half] += (length - whole) / 2
	times, at := SampleTimes(phases)
	note := func(t float64) {
		row := make([]float64, len(r.now))
		for i, v := range r.now {
			row[i] = v - side.at(t)
		}
		out.Ahead = append(out.Ahead, row)
	}
	note(0)
	start, next := 0.0, 1
	for i, p := range phases {
		ends := p.atEnds()
		side.start, side.phase = start, p
		r.enter(ends)
		for ; next < len(times) && at[next] == i; next++ {
			if err := r.advance(ctx, ends, times[next]-start); err != nil {
				return nil, err
			}
			note(times[next])
		}
		start += p.Hours
	}
	return out, nil
}

// atEnds is what the rim meets while the faces meet a phase: what is told of it, the same
// where both faces meet one thing, else the cooler air there is, for a pan or a stove
// warms a face and not the rim.
func (p Phase) atEnds() Phase {
	if p.Ends != nil {
		return Phase{Name: p.Name, Hours: p.Hours, Top: *p.Ends, Bottom: *p.Ends}
	}
	f := p.Top
	if f.Kind != p.Bottom.Kind || f.Room != p.Bottom.Room {
		if p.Bottom.Kind == Air && f.Kind != Air || p.Bottom.Room.Temperature < f.Room.Temperature {
			f = p.Bottom
		}
		f.Kind, f.Supply = Air, 0
	}
	return Phase{Name: p.Name, Hours: p.Hours, Top: f, Bottom: f}
}

// sideways is the exchange of a rim through the faces of the board.
type sideways struct {
	middle    *History
	thickness float64 // mm
	m         material
	d         *diffusivities
	phase     Phase
	start     float64 // h, of the phase
}

// at is the moisture of the middle at an hour of the history, % MC.
func (s *sideways) at(t float64) float64 {
	h := s.middle
	i := min(len(h.Times)-1, max(1, sort.SearchFloat64s(h.Times, t)))
	f := (t - h.Times[i-1]) / (h.Times[i] - h.Times[i-1])
	return h.Mean[i-1] + max(0, min(1, f))*(h.Mean[i]-h.Mean[i-1])
}

// rate is 1/τ of (1) [1/h], with the faces that are open.
func (s *sideways) rate(hours, mc float64) float64 {
	open, surface, temperature := 0.0, 0.0, 0.0
	for i, f := range [2]Face{s.phase.Bottom, s.phase.Top} {
		e := f.exchangeAt(hours, 0, s.m.density, s.m.film[i])
		temperature += e.temperature / 2
		if e.tight {
			continue
		}
		_, slope := equilibriumSlope(e.temperature, min(e.air, MaxHumidity/100))
		open++
		surface += e.g / slope
	}
	if open == 0 {
		return 0
	}
	h := s.thickness * 2 / open // one open face of two is as a board twice as thick
	_, d := s.d.table(temperature).at(mc)
	return 1 / (h*h/(math.Pi*math.Pi*d) + h/(2*surface/open))
}

// pull takes a step of h hours, which began some hours into the phase, of exchange
// through the faces.
func (s *sideways) pull(now []float64, hours, h float64) {
	before, after := s.at(s.start+hours), s.at(s.start+hours+h)
	left := math.Exp(-h * s.rate(hours+h/2, before))
	for i, v := range now {
		now[i] = after + left*(v-before)
	}
}
