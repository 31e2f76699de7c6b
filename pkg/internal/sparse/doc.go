// Package sparse solves the symmetric positive definite systems that finite
// elements of a board in the plane make: many pieces, each meshed alike, many of
// them the same.
//
// Two solvers stand behind one interface. FactorDirect is the plain one: minimum
// degree ordering and a row by row Cholesky factorisation; it is the oracle of
// the tests. FactorTree is the fast one. It cuts the board into pieces and the
// pieces into clusters of elements (nested dissection: A. George, Nested
// dissection of a regular finite element mesh, 1973), eliminates in each cluster
// the unknowns that no element outside touches, by dense kernels (multifrontal
// method: Duff and Reid, 1983), and does this once for all clusters that are
// congruent. What is congruent is found by content, in four layers:
//
//   - a shape is how the elements of a piece hang together (local numbers);
//   - a pattern is the index work of one elimination step;
//   - a class is a pattern together with the classes, or element matrices,
//     below it: equal classes have equal numbers and are computed once;
//   - an instance is one place of a class on the board.
//
// Where the cuts go is decided by counting nodes (fragment.go, split.go): along
// the edges of pieces, or through pieces whose mesh is coarser inside; at whole
// repeats of the pattern where the board has one (period.go).
//
// What bounds it, measured on boards of 192 pieces: the multiply-add units, two
// thirds of the time of factorising when all pieces differ; moving Schur
// complements between fronts most of the rest. A solve for few sides is bounded
// by fetching L from memory.
//
// Units: whatever the element matrices have. Places in mm steer the order of
// elimination and never the answer beyond round-off.
//
// Kernels: Go everywhere; on amd64 with AVX-512, or AVX2 and FMA, assembly. The
// build tag purego leaves the assembly out.
//
// Missing: 1. congruence by half a turn or a mirror: such pieces count as
// different. 2. indefinite and unsymmetric systems. 3. use of zeros in a
// right-hand side of Solve, which goes through all clusters; Gram does not. 4. an exact test for
// singular matrices: a pivot that has lost thirteen digits counts as failed, a
// board held too little may pass with a condition number above 1e9; see
// Stats.Condition.
package sparse
