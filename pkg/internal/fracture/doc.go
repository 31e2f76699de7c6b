// Package fracture tells whether a crack starts and runs along a path that is straight or
// bends gently, by the coupled criterion of finite fracture mechanics: stress and energy
// are each necessary and neither suffices (Leguillon, European Journal of Mechanics A 21,
// 2002), so a crack appears at once over a finite stretch a on which the mean stress
// of the uncracked body reaches the strength and the energy set free the toughness
// (Cornetti, Pugno, Carpinteri and Taylor, Engineering Fracture Mechanics 73, 2006;
// from memory). With S the mean stress over strength and G the energy set free per
// area of the stretch at the load at hand, the load over the critical one is
//
//	v = max over stretches of min(S, √(G/G_c)).
//
// Even stress gives strength back (v = S), a long crack toughness (v = K/K_c), and
// corners, thin frames and small boards lie between. v is of degree one in the load.
//
// Stress is added up side by side, each side against its own strength, for the wood
// and the bond on either side of the path apart: a path passes many pieces. The
// energy comes from the stiffness with which the board resists the parting of the two
// crack faces, at fixed free strains, and crack faces cannot overlap: under pressure they slide
// only, without friction.
//
// Bending. Stress is judged at the mid-plane and near both faces. Energy is that of
// two heights, each opened or touching by itself as the whole thickness would be
// under its traction: without contact this adds to the energy of the even part a
// third of that of an even stress as high as the skin's. What balances itself within
// the thickness is the business of stretches that open from a face, which package
// influence judges by the tractions of this one.
//
// Cracks start at the ends of joints, both ways, and end at the ends of sides, or
// between two where stress and energy cross. A path may turn once: there S adds up what
// either arm bears for itself, since the normals differ; along gentle bends each side
// counts along its own normal. Missing: cracks that start within a joint, paths that turn
// twice, or where both lines run on (on fifty boards none of some two thousand such paths
// was worse than the lines), friction.
package fracture
