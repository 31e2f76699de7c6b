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
// Rings that slant or curve through a long-grain piece bend it under an even
// change of moisture too. With E the tensor of free strain (Σ e_i·i⊗i over the
// wood's axes L, R, T), a cross-section wants to shear by γ0 = 2·E_xz, 2·E_yz and
// to curve by κ0, the slope of E over the thickness:
//
//	5/6·h·G(∇w + φ − γ0),  h³/12·Q(κ(φ) − κ0)
//
// A strip with its pith at the depth r0 below the mid-plane so gets the curvature
// 2(e_R − e_T)/r0 in its middle, as the stress-free polar map has it.
//
// Elements: second-order quadrilaterals and triangles of package mesh, the
// stiffness integrated exactly (3×3 and 3 points), the transverse shear of
// quadrilaterals at 2×2 points, which keeps thin plates from locking. The
// functions of quadrilaterals are mended so that they represent all quadratics on
// any of them (serendipity.go); constant strain and constant curvature are exact.
//
// Missing: 1. weight and supports. 2. change of stiffness while the moisture
// changes: each piece keeps the stiffness of its gluing moisture. 3. swelling
// through the thickness, which loads nothing in a plate. 4. the transverse shear
// that in-plane stress itself brings where rings slant.
package plate
