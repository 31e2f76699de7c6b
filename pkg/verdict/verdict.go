// Package verdict holds the four words in which every answer of this module is
// given.
package verdict

// Word is one of four words for a utilisation u = demand/capacity.
type Word string

// The words and where they begin: holds below 0.5, tight below 0.8, doubtful
// below 1, fails from 1.
const (
	Holds    Word = "holds"
	Tight    Word = "tight"
	Doubtful Word = "doubtful"
	Fails    Word = "fails"
)

// Of gives the word for a utilisation u (dimensionless, ≥ 0).
func Of(u float64) Word {
	switch {
	case u < 0.5:
		return Holds
	case u < 0.8:
		return Tight
	case u < 1:
		return Doubtful
	}
	return Fails
}
