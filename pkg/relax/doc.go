// Package relax turns an elastic stress history into a relaxed one: wood held
// across the grain gives way with time, so a load that grows over a season
// weighs less than the same load put on at once.
//
// Times are in hours. The relaxation factor is the share of an elastic stress
// that is left a time after it was put on: 1 at once, falling to a rest. It is
// one function for the whole board (linear viscoelasticity, one scalar for all
// directions), written as a short series of exponentials.
//
// Three variants span what is published. Low follows the creep measured on
// Norway spruce across the grain at 65 % humidity (thin slices, Kelvin chain of
// four terms), converted exactly to relaxation, with a slow term down to what
// clamped wood kept over years. Typical and High are cautious judgements: half
// and six tenths left after a season, and hours to days hardly relaxed.
//
// Wood under stress gives way most while its moisture changes (mechano-sorption). The
// law is a chain in the sum of all changes of moisture, measured on spruce tissue
// across the grain (Ferrara and Wittel 2025); it saturates. See Member.
//
// What is missing: hardwoods (no series across the grain was found), and how time
// alone works at other moistures and temperatures.
package relax
