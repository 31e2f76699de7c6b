// Package arrange looks for a better arrangement of the pieces of a board: it turns
// blocks (and, when allowed, swaps woods or lets blocks change places) until the
// worst utilisation is as small as it gets.
//
// The search works on a model of influences (table.go). With the stiffness of
// the board as it stands, the stress at every monitored point is a sum over the
// pieces: three numbers a piece, for free strain xx, yy and xy. They come from
// three solves a piece, all on one factorisation. A piece that is turned also
// changes its stiffness; to the outside that is a further free strain, of the
// size that makes the old stiffness give the new stress for the mean strain of
// the piece (the equivalent inclusion of Eshelby, Proceedings of the Royal
// Society A 241, 1957; from memory). On these sums simulated annealing
// (Kirkpatrick, Gelatt and Vecchi, Science 220, 1983) tries tens of thousands
// of arrangements a second. What it finds is solved exactly, the table is made
// anew there, and so on; only exact results are ever reported.
//
// Of a build a maker may do more: sticks change places, slices are laid otherwise, border
// strips turned (rework.go). Each such deed is solved exactly, on a few rounds in turn
// with the tables; waits between glue-ups and their order (rests.go) come last and in
// full. All of it is a work, told step by step, and the file it makes (work.go).
//
// The result depends on the seed, not on the clock: work is counted in rounds
// and trials, and a deadline only ends it early.
//
// Missing: 1. exposures are judged before and after, the search itself looks at
// the uniform end states. 2. long-grain pieces are never turned: in the plane it
// makes no difference. 3. pieces with curved rings count with the rings at their
// centre while searching. 4. a border that is not glued to the field.
package arrange
