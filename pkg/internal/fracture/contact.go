package fracture

import (
	"math"
	"slices"
)

// opening is a stretch opened under one force: the jump of its crack faces and the
// energy that sets free.
type opening struct {
	unknowns []int
	jump     []float64
	free     []bool // unknowns that are not held by contact
	held     bool   // some are
	energy   float64
}

// settle opens a stretch so that the crack faces do not overlap: the energy set free is
//
//	U = max over δ, δ_N ≥ 0 of fᵀδ − ½δᵀSδ                                 (3)
//
// place by place, without friction. Without contact it is ½fᵀS⁻¹f. The set of
// places that touch is found by exchanging all that are wrong at once, and, where
// that goes round in circles, one at a time from the last on, which ends
// (Júdice and Pires, Computers and Operations Research 21, 1994; from memory).
// What a shorter crack from the same start found, or one of the moment before, is the
// first guess (nil for none).
func (l *Line) settle(s *start, f []float64, n int, y []float64, guess []bool) (opening, bool) {
	o := opening{unknowns: s.unknowns[:n], free: make([]bool, n)}
	for i := range o.free {
		o.free[i] = true
		if i < len(guess) {
			o.free[i] = guess[i]
			o.held = o.held || !o.free[i]
		}
	}
	for i := len(guess) &^ 1; o.held && i < n; i++ { // what has opened beyond it: touching where it is pressed
		o.free[i] = !l.normal(o.unknowns[i]) || f[o.unknowns[i]] >= 0
	}
	if o.held {
		o.jump = make([]float64, n)
		if !l.solve(&o, f) {
			return o, false
		}
	} else {
		o.jump = s.backward(y[:n])
	}
	largest := 0.0
	for _, d := range o.jump {
		largest = max(largest, math.Abs(d))
	}
	tiny := touch * largest
	least, patience := n+1, 3
	for range 4 * n {
		var wrong []int
		for i := range n {
			switch {
			case !l.normal(o.unknowns[i]):
			case o.free[i] && o.jump[i] < -tiny:
				wrong = append(wrong, i)
			case !o.free[i]:
				pull := f[o.unknowns[i]]
				size := math.Abs(pull)
				for j, d := range o.jump {
					pull -= l.s.At(o.unknowns[i], o.unknowns[j]) * d
					size += math.Abs(l.s.At(o.unknowns[i], o.unknowns[j]) * d)
				}
				if pull > touch*size {
					wrong = append(wrong, i)
				}
			}
		}
		if len(wrong) > n/16 && !o.held { // most of the line is pressed: begin from what presses
			wrong = wrong[:0]
			for i := range n {
				if l.normal(o.unknowns[i]) && (f[o.unknowns[i]] < 0 || o.jump[i] < -tiny) {
					wrong = append(wrong, i)
				}
			}
		}
		if len(wrong) == 0 {
			if !slices.Contains(o.free, false) { // as if nothing had been guessed, to the last digit
				o.held, o.jump = false, s.backward(y[:n])
			}
			o.energy = 0
			for i, d := range o.jump {
				o.energy += f[o.unknowns[i]] * d / 2
			}
			return o, true
		}
		if len(wrong) < least {
			least, patience = len(wrong), 3
		} else if patience--; patience < 0 {
			wrong = wrong[len(wrong)-1:]
		}
		for _, i := range wrong {
			o.free[i] = !o.free[i]
		}
		o.held = true
		if !l.solve(&o, f) {
			return o, false
		}
	}
	return o, false
}

// touch is the share of the largest jump, and of the forces at a place, below which a
// place neither overlaps nor pulls, so that round-off does not go round in circles. On
// thirty random lines of 60 sides anything from 1e-4 to 1e-13 gave the very same energy.
const touch = 1e-7

// solve gives the jump of the free unknowns, the others held at none.
func (l *Line) solve(o *opening, f []float64) (ok bool) {
	var at, unknowns []int
	for i, free := range o.free {
		if free {
			at, unknowns = append(at, i), append(unknowns, o.unknowns[i])
		}
	}
	clear(o.jump)
	chol := make([]float64, 0, len(at)*(len(at)+1)/2)
	for r := range at {
		if chol, ok = l.grown(chol, unknowns, r); !ok {
			return false
		}
	}
	for i, d := range backward(chol, forward(chol, unknowns, f)) {
		o.jump[at[i]] = d
	}
	return true
}

// sliding is the part of the energy that motion along the line sets free.
func (l *Line) sliding(o *opening, f []float64) float64 {
	sum := 0.0
	for i, u := range o.unknowns {
		if !l.normal(u) {
			sum += f[u] * o.jump[i] / 2
		}
	}
	return sum
}
