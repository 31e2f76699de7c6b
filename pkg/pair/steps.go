package pair

import "github.com/tanrad/tanrad/pkg/movement"

// Sources of the steps.
const (
	srcTensor  = "linear shrinkage below fibre saturation (Wood Handbook 2010, ch. 13), tensor turned by the ring angle"
	srcHooke   = "Hooke's law, orthotropic, plane stress"
	srcForce   = "balance of forces and equal strain at the joint, derived in package pair (1)"
	srcBimetal = "Timoshenko 1925, J. Opt. Soc. Am. 11:233 (from memory; derived in package pair (2))"
	srcBoard   = "plane finite elements on the two strips, as for any board (package check)"
	srcDemand  = "package joint: each part by its own tension and shear, which add as squares"
	one        = "1"
	mpa        = "MPa"
	mm         = "mm"
)

// derivation lists the steps from moisture to utilisation with their numbers.
func derivation(q *Request, a, b *side, s strips, r *Result) []movement.Step {
	steps := make([]movement.Step, 0, 16)
	add := func(name, formula, source string, result movement.Input, inputs ...movement.Input) {
		steps = append(steps, movement.Step{Name: name, Formula: formula, Inputs: inputs, Result: result, Source: source})
	}
	for _, p := range []struct {
		*side
		name string
	}{{a, "A"}, {b, "B"}} {
		l, rad, tan := p.species.Swelling(p.from, p.to)
		ring := in("θ", p.piece.RingAngle, "degrees")
		add("free strain of "+p.name+" along the joint", "l·Lx² + r·Rx² + t·Tx²", srcTensor,
			in("εx"+p.name, p.exx, one),
			in("l", l, one), in("r", rad, one), in("t", tan, one), ring, in("from", p.from, "% MC"), in("to", p.to, "% MC"))
		add("modulus of "+p.name+" along the joint", "stiffening/s11 of the rotated in-plane compliance", srcHooke,
			in("E"+p.name, p.ex, mpa),
			in("E_L", p.elastic.EL, mpa), in("E_R", p.elastic.ER, mpa), in("E_T", p.elastic.ET, mpa), ring,
			in("stiffening on the way", p.species.Stiffening(p.from, p.to), one))
	}
	relaxed := in("relaxation", r.Relaxation, one)
	delta, wa, wb := in("Δ", s.delta, one), in("a", s.a, mm), in("b", s.b, mm)
	ea, eb := in("EA", s.ea, mpa), in("EB", s.eb, mpa)
	force := in("P", r.Straight.Force, "N/mm")
	d := in("d", r.Ends.Averaging, mm)
	add("mismatch along the joint", "εxB − εxA", srcForce, delta, in("εxA", a.exx, one), in("εxB", b.exx, one))
	add("force passed on by the joint, held straight", "relaxation·Δ / (1/(EA·a) + 1/(EB·b))", srcForce,
		force, delta, ea, eb, wa, wb, relaxed)
	add("stress in A along the joint, held straight", "P/a", srcForce, in("σA", r.Straight.StressA, mpa), force, wa)
	add("stress in B along the joint, held straight", "−P/b", srcForce, in("σB", r.Straight.StressB, mpa), force, wb)
	add("curvature of the free pair", "P'·h/(2(DA+DB)), P' = Δ/(1/(EA·a) + 1/(EB·b) + h²/(4(DA+DB))), D = E·w³/12",
		srcBimetal, in("κ", r.Bow.Curvature, "1/mm"), delta, ea, eb, wa, wb)
	add("shear on the worst stretch, mean over d", "solved", srcBoard, in("τ", r.Ends.Shear, mpa), d, in("length", r.Solved, mm))
	add("opening on the worst stretch, mean over d", "solved", srcBoard, in("p", r.Ends.Peel, mpa), d, in("length", r.Solved, mm))
	for _, c := range r.Checks {
		inputs := []movement.Input{in("N", c.Tension, mpa), in("T", c.Shear, mpa)}
		if c.TensionCapacity > 0 {
			inputs = append(inputs, in("f_t", c.TensionCapacity, mpa))
		}
		if c.ShearCapacity > 0 {
			inputs = append(inputs, in("f_v", c.ShearCapacity, mpa))
		}
		add("utilisation: "+c.Text, "√((N/f_t)² + (T/f_v)²)", srcDemand, in("u", c.Utilisation, one), inputs...)
	}
	return steps
}

func in(symbol string, value float64, unit string) movement.Input {
	return movement.Input{Symbol: symbol, Value: value, Unit: unit}
}
