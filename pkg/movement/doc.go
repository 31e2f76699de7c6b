// Package movement gives the free change of size of one piece of wood between
// two moisture contents, with its derivation as data: every formula, its
// inputs with unit, source and status, and its result.
//
// Two forms of the same linear law are offered. "total" spreads the total
// shrinkage evenly below the fibre saturation point and holds for any range
// below it (Wood Handbook, FPL-GTR-190, ch. 13, Eq. 13-3). "coefficient" uses
// the handbook's change per % MC, of the size at 10 % MC (Eq. 13-2), which its
// authors give for small changes between 6 and 14 % MC. A piece between flat-
// and quarter-sawn turns the swelling tensor; the handbook's simpler reading,
// tangential for the width and radial for the thickness, overstates the one
// and understates the other.
//
// The ring angle of a cut is that of package layout for a long-grain piece:
// 0° flat-sawn (rings lie flat, the width moves tangentially), 90° quarter-sawn.
//
// What is missing: the change along the fibres of juvenile, reaction or curly
// wood, ten times and more that of straight-grained wood, has no usable law.
package movement
