package verdict

import (
	"encoding/json"
	"math"
)

// Scale tells at which figures of a kind the words begin. They are set for cracks in wood
// whose moisture at gluing was measured; of figures whose logarithm scatters more they begin
// earlier, at those with the same chance. Everything that says or paints a word of a board
// asks its scale. The zero Scale is that of a measured crack, and of a rule, which does
// not scatter.
type Scale struct {
	power float64 // of a figure, that makes that of a measured crack of it; 0 for 1
}

// Scattering is the scale of figures whose logarithm scatters by the inverse of a ratio
// (dimensionless, positive) of what that of a measured crack does.
func Scattering(ratio float64) Scale { return Scale{ratio} }

func (s Scale) exponent() float64 {
	if s.power == 0 {
		return 1
	}
	return s.power
}

// AsCrack is the utilisation (dimensionless) of a measured crack that is as likely as a
// figure u (dimensionless, ≥ 0) of this scale.
func (s Scale) AsCrack(u float64) float64 { return math.Pow(u, s.exponent()) }

// At is the figure (dimensionless) of this scale that is as likely as a measured crack of a
// utilisation v (dimensionless, ≥ 0).
func (s Scale) At(v float64) float64 { return math.Pow(v, 1/s.exponent()) }

// Of gives the word for a figure u (dimensionless, ≥ 0).
func (s Scale) Of(u float64) Word { return Words[s.Band(u)] }

// Band gives the number of the word for a figure u (dimensionless, ≥ 0).
func (s Scale) Band(u float64) int { return Band(s.AsCrack(u)) }

// Percent is a figure u (dimensionless, ≥ 0) in whole % of the same word: the nearest, or
// the next one where that has another.
func (s Scale) Percent(u float64) int {
	p, own := int(math.Round(100*u)), s.Band(u)
	for p > 0 && s.Band(float64(p)/100) > own {
		p--
	}
	for s.Band(float64(p)/100) < own {
		p++
	}
	return p
}

// begins is a scale as JSON has it: the figures at which the words begin.
type begins struct {
	Tight    float64 `json:"tight"`
	Doubtful float64 `json:"doubtful"`
	Fails    float64 `json:"fails"`
}

// MarshalJSON tells the figures at which the words begin.
func (s Scale) MarshalJSON() ([]byte, error) {
	return json.Marshal(begins{s.At(FromTight), s.At(FromDoubtful), FromFails})
}

// UnmarshalJSON takes them back. Errors: those of JSON.
func (s *Scale) UnmarshalJSON(text []byte) error {
	var b begins
	if err := json.Unmarshal(text, &b); err != nil {
		return err
	}
	if *s = (Scale{}); b.Tight > 0 && b.Tight < 1 {
		s.power = math.Log(FromTight) / math.Log(b.Tight)
	}
	return nil
}
