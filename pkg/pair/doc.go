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
// # What is worked out
//
// Free swelling turns with the rings: in the plane of the board each piece
// wants the strain (εx, εy, γxy) of its own rotated tensor. Along a straight
// glue line only εx must agree: two pieces may differ in εy and γxy without
// any stress as long as nobody closes the figure at the far corners, for the
// line stays straight and each piece leans as it likes. So the closed form
// takes the mismatch Δ = εxB − εxA, and reports the other two for the reader.
//
// Held straight. Two strips of widths a and b across the joint, far from their
// ends, are kept straight by the board around them. Equal strain at the joint,
//
//	εxA + σA/EA = εxB + σB/EB,
//
// and no net force, σA·a + σB·b = 0, give
//
//	P = Δ / (1/(EA·a) + 1/(EB·b)),   σA = P/a,   σB = −P/b.            (1)
//
// E is the modulus of the piece in the direction of the joint with every other
// stress zero, 1/E = s11 of its rotated in-plane compliance.
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
// Ends. P enters each strip through the last stretch of the joint. With each
// strip's own shear flexibility w/(3G) as the spring between them (shear that
// fades linearly over the width; Suhir 1986 arrives at the same number)
//
//	N(x) = P·(1 − cosh βx / cosh βl),   τ(x) = Pβ·sinh βx / cosh βl,
//	β² = k·(1/(EA·a) + 1/(EB·b)),       k = 1/(a/(3GA) + b/(3GB)),     (3)
//
// x from the middle of a joint of half length l. The corner itself is singular,
// so τ is averaged over the wood's characteristic length d: τ̄ = N(l−d)/d.
//
// Peel. With M the moment in strip A and V its transverse force, the balance of
// a short stretch reads V = −M' + (a/2)·N'; both strips share the curvature
// κ = h·N/(2(DA+DB)), so V = μ·N' with μ = (a·DB − b·DA)/(2(DA+DB)). At the free
// end V must vanish, yet N' does not: the difference is a force F = μ·τ(l) that
// the joint passes on right at its end, opening when positive. It spreads as the
// end load of a beam on an elastic foundation (Hetényi 1946),
//
//	p(s) = 2λF·e^{−λs}·cos λs,   λ⁴ = kn/(4D*),   D* = DA·DB/(DA+DB),
//	kn = 1/(a/(3EnA) + b/(3EnB)),                                     (4)
//
// s from the end, En the modulus square to the joint; the mean over d is
// F·(1 + e^{−λd}(sin λd − cos λd))/d. N and τ in F are those of the free pair,
// with β² = k·(1/(EA·a) + 1/(EB·b) + h²/(4(DA+DB))). Like strips have μ = 0 and
// do not peel. Shear and peel at the ends are estimates and say so in the result.
//
// Sources: Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11
// (1925) 233; Volkersen 1938 and Suhir, Stresses in bi-metal thermostats, J.
// Appl. Mech. 53 (1986) 657 for the form of the end shear; Hetényi, Beams on
// Elastic Foundation (1946) for (4). All cited from memory; every equation is
// derived above and checked in the tests.
//
// # Missing
//
//  1. The neighbours: a field of blocks restrains εy and γxy as well; package
//     check solves the whole board.
//  2. Bending through the thickness and moisture gradients; package check.
//  3. The two-dimensional stress at the corner of a joint; (3) and (4) are one-dimensional.
package pair
