package layers

// hold is what a section remembers of a strain even + slope·z [% MC, and per mm]
// that it is held to from rest, per time: its force and moment over those that the
// strain brings at once, as strain again. No limit holds here: what the board does
// to the section is judged elsewhere. Each layer remembers by its own changes of
// moisture, so that wood that was washed forgets sooner.
func (s *Section) hold(m *Material, times []float64, bound [][]float64, even, slope []float64) (held, bent []float64) {
	st := s.start(m)
	second := 0.0
	for i, z := range s.Z {
		second += s.Width[i] * z * z
	}
	strain := func(i int, z float64) float64 { return even[i] + slope[i]*z }
	for i, z := range s.Z {
		st.stress[i] = m.Modulus * strain(0, z)
	}
	note := func() {
		n, q := 0.0, 0.0
		for i, z := range s.Z {
			n, q = n+s.Width[i]*st.stress[i], q+s.Width[i]*z*st.stress[i]
		}
		held, bent = append(held, n/st.whole/m.Modulus), append(bent, q/second/m.Modulus)
	}
	note()
	st.steps(times, bound, func(t int, share float64, _ []float64) {
		for i, z := range s.Z {
			// What moisture alone would do is in the strain already, and stiffness
			// is that of the board.
			due, give := 0.0, 1.0
			elastic := st.stress[i] / m.Modulus
			for k := range st.links {
				d, c := st.decay[i*st.links+k], st.compliance(k)
				give += c * (1 - d.mean)
				due += (1 - d.left) * (c*elastic - st.link[i*st.links+k])
			}
			st.remember(i, st.stress[i]+m.Modulus/give*(share*(strain(t, z)-strain(t-1, z))-due))
		}
	}, note)
	return held, bent
}
