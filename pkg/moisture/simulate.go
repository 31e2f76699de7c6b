package moisture

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Simulate follows the moisture of a column through the phases, one after the
// other, and reports it at SampleTimes(phases).
//
// The law is ∂M/∂t = ∂/∂z (D(M,T) ∂M/∂z) (Crank, ch. 1) with D by siau,
// and at each face a flow in proportion to the difference of vapour density
// between the wood's surface and the air, through the resistances of still air
// and of the finish in series. A face in water stands at saturation, and takes up
// liquid as W = A·√t by the class of the wood, its direction and the finish, until
// the water on it is gone: it fills the cells from the face on to a cap, stays in
// their lumens, and leaves them by diffusion alone (see data/uptake.csv). Finite volumes graded to both faces; time steps by RODAS3
// with an error bound a step.
//
// Errors: a fault.List (thickness, moisture, finish, phases, air out of range),
// or a fault.Fault of rule deadline when ctx ends first.
func Simulate(ctx context.Context, c Column, phases []Phase, opt Options) (*History, error) {
	m, l := c.material()
	l = append(l, phaseFaults(phases)...)
	opt, more := opt.filled()
	if l = append(l, more...); len(l) > 0 {
		return nil, l
	}
	r := newRun(m, c.Thickness, c.M0, opt)
	times, at := SampleTimes(phases)
	h := &History{Times: times, Phase: at, Thickness: c.Thickness}
	if opt.Profiles {
		h.Z = r.s.z
	}
	r.record(h, opt.Profiles)
	start := 0.0
	next := 1
	for i, p := range phases {
		r.enter(p)
		for ; next < len(times) && at[next] == i; next++ {
			if err := r.advance(ctx, p, times[next]-start); err != nil {
				return nil, err
			}
			r.record(h, opt.Profiles)
		}
		start += p.Hours
	}
	h.MassBalance, h.Steps, h.Rejected = r.worst, r.steps, r.rejected
	return h, nil
}

// filled puts in the defaults and checks the rest.
func (o Options) filled() (Options, fault.List) {
	var l fault.List
	if o.Tolerance == 0 {
		o.Tolerance = defaultTolerance
	}
	if o.Cells == 0 {
		o.Cells = defaultCells
	}
	l = append(l, fault.Range("/tolerance", "tolerance", o.Tolerance, 1e-9, 1, "% MC")...)
	if o.Cells < 4 || o.Cells > maxCells || o.Cells%2 != 0 {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/cells", Detail: "number of cells is outside its range",
			Found: fmt.Sprint(o.Cells), Allowed: fmt.Sprintf("even, 4 to %d", maxCells)})
	}
	return o, l
}

func phaseFaults(phases []Phase) fault.List {
	var l fault.List
	if len(phases) == 0 || len(phases) > MaxPhases {
		l = append(l, fault.Fault{Rule: fault.WrongLength, Pointer: "/phases", Detail: "too few or too many phases",
			Found: fmt.Sprint(len(phases)), Allowed: fmt.Sprintf("1 to %d", MaxPhases)})
		return l
	}
	for i, p := range phases {
		at := fmt.Sprintf("/phases/%d", i)
		if !(p.Hours > 0 && p.Hours <= MaxHours) {
			l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: at + "/hours", Detail: "length of the phase is outside its range",
				Found: fmt.Sprintf("%g h", p.Hours), Allowed: fmt.Sprintf("above 0, up to %g h", float64(MaxHours))})
		}
		l = append(l, p.Top.faults(at+"/top")...)
		l = append(l, p.Bottom.faults(at+"/bottom")...)
		if p.Ends != nil {
			l = append(l, p.Ends.faults(at+"/ends")...)
		}
	}
	return l
}

// run is a simulation under way.
type run struct {
	s         *system
	m         material
	d         *diffusivities
	tolerance float64

	now             []float64 // moistures of the cells
	spare, filled   []float64
	hours           float64   // into the phase
	stride          float64   // next step, h
	puddles         [2]puddle // at the bottom and at the top
	water           float64   // % mm that came in since the start
	first           float64   // % mm that was there at the start
	worst           float64   // of the mass balance
	steps, rejected int
	dry             bool      // no phase entered yet
	side            *sideways // of a rim; nil for a column
}

func newRun(m material, thickness, m0 float64, opt Options) *run {
	s := newSystem(newCells(thickness, opt.Cells))
	r := &run{s: s, m: m, d: newDiffusivities(m), tolerance: opt.Tolerance,
		now: make([]float64, opt.Cells), spare: make([]float64, opt.Cells), filled: make([]float64, opt.Cells), dry: true}
	for i := range r.now {
		r.now[i] = m0
	}
	r.first = s.total(r.now)
	return r
}

// firstStride starts every phase: the change of surroundings is sudden.
const firstStride = 1e-4 // h

func (r *run) enter(p Phase) {
	r.hours, r.stride, r.dry = 0, firstStride, false
	for i, f := range [2]Face{p.Bottom, p.Top} {
		r.puddles[i] = puddle{wet: f.wet(), supply: f.Supply}
	}
	r.set(p, 0, 0)
}

// set takes over the surroundings for a step of h hours that begins at an hour
// of the phase. Temperatures are those of the middle of the step; that of the
// wood is the mean of its faces'.
func (r *run) set(p Phase, hours, h float64) {
	if r.puddles[0].gone() {
		p.Bottom = p.Bottom.without()
	}
	if r.puddles[1].gone() {
		p.Top = p.Top.without()
	}
	r.s.bottom = p.Bottom.exchangeAt(hours, h, r.m.density, r.m.film[0])
	r.s.top = p.Top.exchangeAt(hours, h, r.m.density, r.m.film[topFace])
	temperature := (r.s.bottom.temperature + r.s.top.temperature) / 2
	r.s.potential = bounded{r.d.table(temperature), equilibrium(temperature, 100)}
	for _, e := range [2]*exchange{&r.s.bottom, &r.s.top} {
		if e.air >= 1 { // water meets the wood's own saturation, or it would leave where liquid enters
			e.temperature = temperature
		}
	}
}

// pour sets the sources of a step of h hours: the liquid that enters at both faces,
// spread over the step and over the cells it fills. It returns what enters at each
// face [% mm].
func (r *run) pour(h float64) (liquid [2]float64) {
	r.s.source = nil
	for i := range r.puddles {
		want := r.puddles[i].drink(r.m, r.m.uptake[i], r.hours, h)
		if want <= 0 {
			continue
		}
		if r.s.source == nil {
			r.s.source = r.filled
			copy(r.filled, r.now)
		}
		liquid[i] = want - r.s.soak(r.filled, i == 1, r.m.cap, want)
	}
	for i := range r.s.source {
		r.s.source[i] = (r.filled[i] - r.now[i]) / h
	}
	return liquid
}

// took notes what a step has brought in at each face as liquid and by diffusion
// [% mm].
func (r *run) took(liquid, diffused [2]float64) {
	for i := range r.puddles {
		r.water += liquid[i] + diffused[i]
		if p := &r.puddles[i]; p.wet {
			p.taken += (liquid[i] + max(0, diffused[i])) / r.m.percentMM()
		}
	}
}

// checkEvery is the number of steps between two looks at the context.
const checkEvery = 64

// advance steps to an hour of the phase.
func (r *run) advance(ctx context.Context, p Phase, until float64) error {
	for r.hours < until {
		if (r.steps+r.rejected)%checkEvery == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		rest := min(until, p.nextCorner(r.hours)) - r.hours
		h, last := r.stride, false
		if h >= rest*0.999 {
			h, last = rest, true
		} else if h > rest/2 {
			h = rest / 2 // two even steps instead of a long and a tiny one
		}
		r.set(p, r.hours, h)
		liquid := r.pour(h)
		in, err := r.s.step(r.now, r.spare, h)
		if !(err <= r.tolerance) { // NaN too
			r.stride = nextStep(h, err, r.tolerance)
			if math.IsNaN(err) || math.IsInf(err, 0) {
				r.stride = h / 10
			}
			r.rejected++
			if r.stride < 1e-9 {
				panic(fmt.Sprintf("moisture: step of %g h still errs by %g %% MC", h, err))
			}
			continue
		}
		r.now, r.spare = r.spare, r.now
		r.took(liquid, in)
		r.worst = max(r.worst, math.Abs(r.s.total(r.now)-r.first-r.water))
		r.steps++
		if r.side != nil {
			r.side.pull(r.now, r.hours, h)
		}
		if r.hours += h; r.hours > until*(1-1e-12) {
			r.hours = until
		}
		// a step cut short by a sample time must not make the next ones short
		if next := nextStep(h, err, r.tolerance); !last || next > r.stride {
			r.stride = next
		}
	}
	r.set(p, r.hours, 0)
	return nil
}

// record notes the present state.
func (r *run) record(h *History, profiles bool) {
	mean, slope := r.s.moments(r.now)
	top, bottom := r.now[len(r.now)-1], r.now[0]
	if !r.dry {
		r.s.rate(r.now, 0)
		// A face with free water below it is as wet as that.
		top, bottom = max(r.s.faceT, free(top, r.s.potential.saturation)), max(r.s.faceB, free(bottom, r.s.potential.saturation))
	}
	h.Mean, h.Slope = append(h.Mean, mean), append(h.Slope, slope)
	h.Top, h.Bottom, h.Mid = append(h.Top, top), append(h.Bottom, bottom), append(h.Mid, r.s.mid(r.now))
	if profiles {
		h.Profiles = append(h.Profiles, append([]float64(nil), r.now...))
	}
}

// free is the moisture of a cell that holds free water, 0 of one that does not.
func free(mc, saturation float64) float64 {
	if mc > saturation {
		return mc
	}
	return 0
}
