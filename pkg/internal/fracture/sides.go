package fracture

// Pulls is what the sides of a line bear in a state, per side: the traction added up
// over its length, MPa·mm, and what it gains with every mm of height, MPa.
type Pulls struct{ N, T, BendN, BendT []float64 }

// Pulls adds up the cases of a state, without its Own.
func (l *Line) Pulls(st *State) Pulls {
	n := len(l.Joint)
	all := make([]float64, 4*n)
	p := Pulls{all[:n:n], all[n : 2*n : 2*n], all[2*n : 3*n : 3*n], all[3*n:]}
	sumSides([2][]float64{p.N, p.T}, l.Membrane, st.Membrane)
	sumSides([2][]float64{p.BendN, p.BendT}, l.Bending, st.Bending)
	return p
}

// sumSides adds amounts of cases, side by side.
func sumSides(to [2][]float64, cases []Load, amounts []float64) {
	for c, a := range amounts {
		if a == 0 {
			continue
		}
		x, y := cases[c].SideN, cases[c].SideT
		for i := range to[0] {
			to[0][i] += a * x[i]
			to[1][i] += a * y[i]
		}
	}
}
