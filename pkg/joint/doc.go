// Package joint judges: from the traction on a glue line, or the stress in wood,
// to a utilisation, the part that decides, and the slopes by traction and by
// strength. Every other package asks here.
//
// Parts. A joint has the wood on either side and the bond's hold on each of the
// two faces. Each part has its own tension and its own shear (Criterion), and the joint
// is as good as the part that its traction asks most of:
//
//	u = max over the parts of √( max(0, Open·p)² + (Slide·p)² ),  p = (N, T).
//
// N counts only where it opens; tension and shear add as squares (quadratic
// interaction; Hashin, Journal of Applied Mechanics 47, 1980, uses the same form
// for tension and shear across fibres; from memory). u is of degree one in the
// traction, so N·∂u/∂N + T·∂u/∂T = u and shares of it sum to the whole.
//
// One law for every way the fibres meet the line, continuous in their angle:
// wood splits along its fibres, on the plane that holds them (woodCriterion); the bond
// lies between side grain and end grain by Hankinson's form (bondPart). On side
// grain the two are the same strength, less the gluing class. The published
// efficiencies of scarfed joints (1 in 5: 0.65 of the strength along the grain) are
// not put in but come out; the tests compare them.
//
// Demand. Tractions grow without bound towards corners where pieces of
// different stiffness or swelling meet, so a point value has no meaning there.
// They are averaged over one length for all woods (AveragingLength), of the size of
// (2/π)(K_Ic/f_t)², over which a crack tip sheds its load (point and line methods of
// Whitney and Nuismer, Journal of Composite Materials 8, 1974; from memory). The
// average does not change with the mesh. It suits opening: for sliding the same
// expression with the toughness of that mode is 13 to 38 mm, so sliding peaks at
// corners are judged too harshly, by 1.4 to 1.9; and a crack that starts need not run.
// u says where a crack may start, not more.
//
// Missing: 1. friction of a joint that is pressed while it slides. 2. crushing,
// which is reported as a pressure but breaks no joint. 3. stress along the glue
// line, which a traction does not tell: where fibres cut the line at a slant it is
// taken as none.
package joint
