// Package deck writes the model a board was solved with, so that any
// finite-element program or solver can be run on the very same thing: the
// membrane as a keyword input deck for CalculiX, and the assembled system as a
// Matrix Market file.
//
// The deck holds tanrad's own mesh in plane-stress elements of the board's
// thickness (CPS8, CPS6), with every piece's engineering constants, axes and
// free strain. One degree is the piece's change of moisture: nodes carry one
// temperature, pieces that meet there change by amounts of their own, so the
// amount stands in the expansion and every node is warmed by 1.
//
// CalculiX makes bricks and wedges of plane elements, whose change of thickness
// is continuous from piece to piece; with the wood's own constants across the
// face a piece would hinder its neighbour's change of thickness, and the state
// beside a joint would not be plane stress. The deck therefore uncouples the
// thickness: ν13 = ν23 = 0 and no expansion through the thickness. Plane stress
// does not depend on these constants, so this changes nothing but that
// hindrance. It needs the face of the board to be a plane of symmetry of the
// piece's in-plane constants, which it is: in the axes fibre and across
// (long grain) or radial and tangential (end grain) the plane-stress stiffness
// of every piece is orthotropic.
//
// How near an outside answer comes (CalculiX 2.20, every board of
// testdata/boards/ok, largest difference of a displacement over the largest
// displacement): 5e-7, the digits printed, where quadrilaterals are
// parallelograms and rings are taken by element here too, which shows that both
// solve the same equations. In the decks as written two differences remain.
// Tanrad's quadrilaterals that are no parallelograms represent all quadratics
// and CPS8 does not (package plate): 1e-5 to 4e-4. Rings about a pith turn inside
// an element here, but not in the deck: 2e-3 with the pith below a strip, 1e-2 at
// the nodes beside a pith inside one. Halving the elements divides them by 11, by
// 3.7 and by 1.5.
//
// Axes and units: mm, N, MPa; x to the right, y up, as in package layout. Node n
// of the deck is node n−1 of the mesh, element and piece numbers likewise.
//
// Missing: 1. bending and warp; the deck is the membrane. 2. relaxation and
// strength: the deck tells how the wood moves and the elastic stress.
package deck
