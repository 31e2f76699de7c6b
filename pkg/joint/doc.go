// Package joint judges a glue line: from the traction on it, averaged over the
// wood's own characteristic length, and the capacity of wood A, bond and wood B
// for the way their fibres and rings meet the line, to a utilisation.
//
// Demand. Tractions grow without bound towards corners where pieces of
// different stiffness or swelling meet, so a point value has no meaning there.
// They are averaged over d = (2/π)(K_Ic/f_t)², the length over which a crack
// tip in the same wood sheds its load (point and line methods of Whitney and
// Nuismer, Journal of Composite Materials 8, 1974; from memory). The average
// does not change with the mesh.
//
// Capacity. Wood: tension between R and T and towards the fibre by Hankinson's
// form; shear along the fibres, or rolling shear where both the glue line's
// normal and the direction of the shear lie across the fibres, as in every
// joint between end-grain blocks. Bond: as strong as sound side grain, less by
// the gluing class of the species, and by the published efficiency of scarfed
// and end-grain faces.
//
// Utilisation: u = √((N/f_t)² + (T/f_v)²) with N counted only when it opens
// (quadratic interaction; Hashin, Journal of Applied Mechanics 47, 1980, uses
// the same form for tension and shear across fibres; from memory).
//
// Missing: 1. friction of a joint that is pressed while it slides. 2. crushing,
// which is reported as a pressure but breaks no joint.
package joint
