// Package formula reads a formula as it is printed in a text, works it out, and
// writes it as MathML.
//
// One text is all there is of a formula, so that what a reader is shown is what
// was worked out:
//
//	f := formula.Must("e_R = (M_F − M_I) / (100·F/S_R − F + M_I)")
//	v, err := f.Value(map[string]float64{"M_F": 9, "M_I": 7, "F": 30, "S_R": 4.8})
//
// Terms are joined by + − · and /, powers stand behind ^, roots are √(…), and
// min, max, abs, ln, exp, sin and cos (of degrees) and Φ (the normal distribution)
// take their arguments in brackets. A symbol is a letter and what follows it:
// letters, digits, primes, and after an underscore its index.
package formula
