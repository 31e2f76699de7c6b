// Package influence prepares a board once and judges it under any moisture: woods
// and frames, mesh and stiffness, and for every kind of piece the tractions that
// one per cent of moisture brings on every stretch of every joint. Seasons,
// exposures and what-ifs are then sums.
package influence
