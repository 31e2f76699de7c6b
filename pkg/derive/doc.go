// Package derive opens the numbers of a check: one chain of steps from the air of
// a room to the load over the critical one, for one joint of a board.
//
// A step is a formula with its inputs, each with its unit and the printed work it
// comes from, and its result. The formula is worked out again from the inputs as they
// are shown (package formula) and held against the number of the program; Difference
// tells the largest gap. Numbers that a field of equations gives are named as solved,
// with what went in.
//
// Beside it stands the sum that a person does by hand with two strips of wood held
// straight,
//
//	P = Δ/(1/(E_A·a) + 1/(E_B·b)),  G = ½·P·Δ,                            (1)
//
// with Δ the difference of free strain along the joint, a and b [mm] how deep the
// pieces reach, P [N/mm] the force passed on over half a joint, and G [N/mm] the
// energy of it: half the work of closing Δ over the joint. Left free to bow the same
// strips hold less (Timoshenko 1925; package pair):
//
//	P_f = Δ/(1/(E_A·a) + 1/(E_B·b) + (a+b)²/(4·(D_A+D_B))),  D = E·w³/12.   (2)
//
// What the solver finds on the board differs for reasons that are told: the
// neighbours hold, and stress crowds at the ends of a joint.
package derive
