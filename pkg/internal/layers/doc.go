// Package layers follows the stress through the thickness of one kind of piece while
// its moisture changes: layers that stay plane together, each with its own wood.
//
// The section is free: it takes no force and no moment, so its strain is a + b·z and
// its stress balances itself. Strains are told as the change of moisture [% MC] that
// would bring them in free wood, so that one law serves every direction; stress is
// Modulus times such a strain. In each layer
//
//	a + b·z = w + ε_e + Σε_i + Σε_j + ε_p + ε_c                            (1)
//	dε_e = dσ/(E·s(w))             elastic, as stiff as the moment
//	dε_i = dt/τ_i·(C_i·σ/E − ε_i)   creep in time
//	dε_j = |dw|/μ_j·(C_j·σ/E − ε_j)  mechano-sorption, in the sum of changes
//
// with w the change of bound water. ε_p is crushing where compression would pass
// its yield, ε_c the opening of fine checks where tension would pass strength:
// they close before the layer is pressed again. Mechano-sorption saturates and
// comes back without load, as measured (Ferrara and Wittel 2025; Amando de Barros
// and Wittel 2026, spruce across the grain); an endless law in |dw| ratchets and
// leaves a set that no board shows.
//
// Missing: what neighbours do to one another within a layer, rings that curve, one
// deep crack that relieves the wood beside it.
package layers
