// Package pair answers the first question of a maker: do these two woods, with
// their rings turned like this, go together along one glue line?
//
// The joint runs along +x. Piece A lies at y > 0, piece B at y < 0; seen along
// the joint A is on the left, as in package layout. Lengths are mm, stresses
// MPa, moisture content (MC) % of oven-dry mass, angles degrees. The ring angle
// of a piece follows package layout: with grain "up" it is the angle of the
// radial axis from the joint; with grain "along" or "across" it is measured
// from the face normal, 0 flat-sawn on the face and 90 quarter-sawn.
//
// # The verdict
//
// is that of a board of the two strips by themselves, solved with finite elements
// and judged as any board is (packages check and joint): the traction on the worst
// stretch of the joint, and the wood of both sides on the planes that split. A
// joint longer than four times the width of both strips is the same at its ends as
// one of that length, and is solved so.
//
// # The closed forms
//
// say why. Free swelling turns with the rings: in the plane of the board each piece
// wants the strain (εx, εy, γxy) of its own rotated tensor. Along a straight glue
// line only εx must agree: two pieces may differ in εy and γxy without any stress
// as long as nobody closes the figure at the far corners, for the line stays
// straight and each piece leans as it likes. So the closed forms take the mismatch
// Δ = εxB − εxA, and report the other two for the reader. They hold far from the
// ends, are marked as estimates, and no verdict hangs on them.
//
// Held straight. Two strips of widths a and b across the joint are kept straight by
// a board around them. Equal strain at the joint,
//
//	εxA + σA/EA = εxB + σB/EB,
//
// and no net force, σA·a + σB·b = 0, give
//
//	P = Δ / (1/(EA·a) + 1/(EB·b)),   σA = P/a,   σB = −P/b.            (1)
//
// E is the modulus of the piece in the direction of the joint with every other
// stress zero, 1/E = s11 of its rotated in-plane compliance at gluing, times what
// the change of moisture stiffens it by (wood.Species.Stiffening).
//
// Free to bow. Nothing but the pair itself: the strips curl in the plane of the
// board (Timoshenko 1925). With D = E·w³/12 of each strip, h = a + b,
//
//	P' = Δ / (1/(EA·a) + 1/(EB·b) + h²/(4·(DA+DB))),
//	κ  = P'·h / (2·(DA+DB)),                                           (2)
//
// and at the joint σA = P'/a + EA·a·κ/2. For like strips κ = 1.5·Δ/h and
// the stress beside the joint is EΔ/2, the same as when held straight.
//
// Source: Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11 (1925)
// 233, from memory; every equation is derived above and checked in the tests.
//
// # Missing
//
//  1. The neighbours: a field of blocks restrains εy and γxy as well; package
//     check solves the whole board.
//  2. Bending through the thickness and moisture gradients; package check.
package pair
