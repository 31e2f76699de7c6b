// Package influence prepares a board once and judges it under any moisture: woods
// and frames, mesh and stiffness, and for every kind of piece the tractions that
// one per cent of moisture brings on every stretch of every joint. Seasons,
// exposures and what-ifs are then sums.
//
// # Glue-ups in stages
//
// Let Ω_k be what is glued after glue-up k = 1 … n, at the time t_k: sub-assemblies of
// pieces that share displacements on the joints made so far and on no other. With β_i
// the bound water of piece i (% MC) and α_i its free strain per % MC, wood is linear in
// the increments,
//
//	dσ = Q·(dε − α·dβ),   div dσ = 0 in Ω_k,   dσ·n = 0 on every face of Ω_k
//	                                           that is not glued yet,          (1)
//
// so the stress that comes between two glue-ups hangs on the change of β alone; call it
// A_k[Δβ]. A joint made at t_k fills the gap that there is then: its sides share the
// displacements that come later, and it bears nothing at t_k. The increments add up on
// the body that is there, each in balance by itself:
//
//	σ(t) = A_n[β(t) − β(t_n)] + Σ_{k<n} A_k[β(t_{k+1}) − β(t_k)]               (2)
//
// Where Ω_k is the whole board all along, (2) is A_n[β(t) − β(t_1)], the board glued in
// one go. A piece that is loose at t_k is not in Ω_k: it counts from its own glue-up.
// The first term is the sum over kinds that every load is, counted from t_n (kind.Start);
// each further term is one case more (locked), with what stress remembers of it as its
// amount (Load.Locked): the same share as of the season before, or in an exposure that
// follows the glue-up, of a stress that rose evenly through its rest.
//
// A crack opens in Ω_n whenever its stress came. Parting the crack faces of a line frees
// ½·f·S⁻¹·f with S the stiffness of Ω_n and f the forces across the line before it opens
// (Bueckner 1958, from memory): f is summed by (2) like any traction, S is not touched.
//
// Ω_k has the elements and nodes of the whole board's mesh (mesh.Part), so that forces
// on a joint are summed node by node. A glue-up of sticks to a panel is solved slice by
// slice as the slices lie on the board: the stress in the section of the panel stays in
// the slice, that along its length is gone with the saw.
//
// Left out: 1. clamps that pull a gap shut. 2. that the middle of a piece lags behind
// its faces when the next glue is spread; the mean counts. 3. that constants and sizes
// are those of each piece's first glue-up all along. 4. self-balanced stress of single
// pieces with curved rings before they are glued. 5. planing and sanding between.
package influence
