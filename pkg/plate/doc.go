// Package plate turns the swelling of the pieces of a board into displacements
// and into tractions on its glue lines.
//
// The board is a flat plate of constant thickness h whose pieces are uniform
// through the thickness, so stretching (membrane) and bending uncouple:
//
//	membrane:  div(h·Q(ε(u) − ε0)) = 0
//	bending:   h³/12·Q(κ(φ) − κ0) balanced by 5/6·h·G(∇w + φ)
//
// with ε0 the mean and κ0 the gradient of the free swelling over the thickness,
// Q the plane-stress stiffness and G the transverse shear stiffness of each
// piece in board axes (Reissner–Mindlin plate; shear factor 5/6 for the
// parabola of an even section; see Timoshenko and Woinowsky-Krieger, Theory of
// Plates and Shells, for the classic thin limit). Displacements through the
// thickness are u + z·φ.
//
// Axes as in package layout; lengths mm, stress MPa, strain dimensionless with
// engineering shear, vectors in the order xx, yy, xy. Rims are free and nothing
// weighs: three supports only take away the rigid motions.
//
// Elements: second-order quadrilaterals and triangles of package mesh, the
// stiffness integrated exactly (3×3 and 3 points), the transverse shear of
// quadrilaterals at 2×2 points, which keeps thin plates from locking. Stress is
// taken at the points where it is most accurate (2×2, 3) and carried linearly
// to the sides (Barlow, International Journal for Numerical Methods in
// Engineering 10, 1976; from memory).
//
// Missing: 1. weight and supports. 2. change of stiffness while the moisture
// changes: each piece keeps the stiffness of its gluing moisture. 3. swelling
// through the thickness, which loads nothing in a plate.
package plate
