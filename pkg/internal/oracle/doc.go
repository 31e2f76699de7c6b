// Package oracle asks an independent finite-element program, CalculiX, what a
// board does, and keeps the answers. It serves tests only.
//
// It shares no code with packages layout, mesh, plate, wood or with the deck
// exporter: the geometry, the elements, the arithmetic of the wood constants and
// the reading of tractions are all written a second time here, so that one
// mistake cannot hide in both.
//
// A Deck describes a board as convex pieces with their orthotropic constants,
// material axes and free strains. Two models are made of it.
//
//   - Membrane: eight-node plane-stress quadrilaterals (CPS8R). Every piece has
//     nodes of its own; coincident nodes of neighbours are tied in u and v by
//     linear equations. CalculiX expands plane elements into thin bricks whose
//     thickness change is continuous from element to element; with shared nodes
//     a piece would hinder its neighbour's change of thickness and the first row
//     of elements beside a joint would not be in plane stress.
//   - Solid: twenty-node bricks (C3D20R) of the true thickness with common
//     nodes, for free strains that vary linearly through the thickness.
//
// Both meshes are graded geometrically towards every corner of every piece,
// where the tractions are singular.
//
// Axes and units: mm, MPa, degrees counter-clockwise from +x seen from above;
// x–y is the face of the board, z points up. Seen along From→To, piece A of a
// joint lies on the left and B on the right; the unit normal points from A to B,
// so a positive normal traction opens the joint; the shear traction is that on
// A's face, along From→To. Exchanging A and B (and with them From and To)
// changes neither sign.
//
// The recorded answers are in testdata/oracle. With ccx on the path
//
//	go test -tags ccx -timeout 20m ./pkg/internal/oracle
//
// solves every board again and compares; -update refreshes the records.
//
// Missing: 1. long-grain pieces with rings at an angle other than 0° and 90° in
// the membrane model: CalculiX ties u and v of both faces, so the tilt of the
// cross-section that such a piece wants is held and the state is not plane
// stress. The solid model takes them, in a sheet. 2. the deflection of that sheet
// (tilted-frame) is recorded, but known to 3 % only. 3. concave pieces.
package oracle
