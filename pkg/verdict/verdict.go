// Package verdict holds the four words in which every answer of this module is
// given, and the figures at which they begin. Whoever needs one of those figures,
// for a colour or a safe range, reads it here.
package verdict

import "math"

// Word is one of four words for a utilisation u: the load over the load at which
// something gives.
type Word string

// The words.
const (
	Holds    Word = "holds"
	Tight    Word = "tight"
	Doubtful Word = "doubtful"
	Fails    Word = "fails"
)

// Utilisations at which the words begin; a board holds below the first. With the
// published scatter of wood (package risk) they are where the chance of a crack
// reaches 5 %, 20 % and one half, to the nearest per cent of the load.
const (
	FromTight    = 0.51
	FromDoubtful = 0.71
	FromFails    = 1.0
)

// limits are the same in order.
var limits = [...]float64{FromTight, FromDoubtful, FromFails}

// Words lists the words, mildest first.
var Words = [...]Word{Holds, Tight, Doubtful, Fails}

// Severity is the place of a word among Words: 0 where it holds, 3 where it fails, and 0
// of what is no word.
func (w Word) Severity() int {
	for i, v := range Words {
		if v == w {
			return i
		}
	}
	return 0
}

// Of gives the word for a utilisation u (dimensionless, ≥ 0) of a crack in wood whose
// moisture at gluing was measured; see Scale for others.
func Of(u float64) Word { return Words[Band(u)] }

// Band gives the number of the word for a utilisation u (dimensionless, ≥ 0): 0
// where it holds, 3 where it fails.
func Band(u float64) int {
	for i, limit := range limits {
		if u < limit {
			return i
		}
	}
	return len(limits)
}

// Percent is a utilisation u (dimensionless, ≥ 0) in whole %, as a sentence says it:
// rounded to the nearest, but never over a limit that u itself does not pass, so that
// the figure and its word agree.
func Percent(u float64) int { return Scale{}.Percent(u) }

// Rank is a utilisation u (dimensionless, ≥ 0) as far as it tells places apart:
// rounded to 20 bits, about 1e-6 of it. Places that are alike by symmetry differ
// by round-off, which must not order them.
func Rank(u float64) float64 {
	const below = 1 << 33 // bits of the fraction that are dropped
	return math.Float64frombits((math.Float64bits(u) + below/2) &^ (below - 1))
}

// Worse tells whether one utilisation (dimensionless) is worse than another by more than
// round-off. Whoever picks a worst takes the first of equals.
func Worse(u, than float64) bool { return Rank(u) > Rank(than) }
