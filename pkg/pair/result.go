package pair

import (
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Verdict is one of the four words of package verdict.
type Verdict = verdict.Word

// The words again, for callers who read only this package.
const (
	Holds    = verdict.Holds
	Tight    = verdict.Tight
	Doubtful = verdict.Doubtful
	Fails    = verdict.Fails
)

// VerdictOf gives the word for a utilisation u (dimensionless, ≥ 0).
func VerdictOf(u float64) Verdict { return verdict.Of(u) }

// Result is the answer to one Request. Strains are dimensionless, of the size
// when glued; stresses MPa; lengths mm; moisture % of oven-dry mass.
type Result struct {
	Verdict     Verdict  `json:"verdict"`
	Utilisation float64  `json:"utilisation"` // the largest of Checks
	Governs     string   `json:"governs"`     // id of that check
	Headline    string   `json:"headline"`
	Reasons     []Reason `json:"reasons"`

	A        Side     `json:"a"`
	B        Side     `json:"b"`
	Length   float64  `json:"length"` // mm; 0: long, far from the ends
	Mismatch Mismatch `json:"mismatch"`
	Straight Straight `json:"held_straight"`
	Bow      Bow      `json:"free_to_bow"`
	Ends     Ends     `json:"ends"`

	Relaxation  float64         `json:"relaxation"` // factor applied to every stress
	Checks      []Check         `json:"checks"`
	Estimated   []string        `json:"estimated"` // inputs that are estimated or from memory
	Assumptions []string        `json:"assumptions"`
	Derivation  []movement.Step `json:"derivation,omitempty"`
}

// Side tells what was used for one piece.
type Side struct {
	Species    string  `json:"species"` // canonical id
	CommonName string  `json:"common_name"`
	RingAngle  float64 `json:"ring_angle"`
	Grain      Grain   `json:"grain"`
	Width      float64 `json:"width"`
	From       float64 `json:"from"`          // % MC when glued
	To         float64 `json:"to"`            // % MC
	Along      float64 `json:"strain_along"`  // free strain along the joint
	Normal     float64 `json:"strain_normal"` // free strain square to the joint, in the plane
	Shear      float64 `json:"strain_shear"`  // engineering
	Thick      float64 `json:"strain_thickness"`
	Modulus    float64 `json:"modulus"`       // MPa along the joint
	ShearMod   float64 `json:"shear_modulus"` // MPa in the plane
	TRRatio    float64 `json:"t_r_ratio"`     // tangential over radial total shrinkage
	Density    float64 `json:"density"`       // kg/m³ at 12 % MC
	Bonding    string  `json:"bonding"`       // gluing class, "" when the source has none
	Tension    float64 `json:"tension"`       // MPa, capacity along the joint
	Bond       float64 `json:"bond"`          // MPa, capacity square to the joint
	JointShear float64 `json:"joint_shear"`   // MPa, capacity in the plane of the joint
}

// Mismatch is B less A.
type Mismatch struct {
	Along  float64 `json:"along"`  // must be shared by the pieces: it makes the stress
	Normal float64 `json:"normal"` // free in a pair, restrained by neighbours in a field
	Shear  float64 `json:"shear"`  // engineering; likewise
	Step   float64 `json:"step"`   // mm, difference of thickness felt at the joint; positive: B proud
}

// Straight is the pair kept straight by the board around it, equation (1).
type Straight struct {
	Force   float64 `json:"force"`    // N a mm of thickness
	StressA float64 `json:"stress_a"` // MPa along the joint, tension positive
	StressB float64 `json:"stress_b"`
}

// Bow is the pair by itself, equation (2).
type Bow struct {
	Curvature float64 `json:"curvature"` // 1/mm, in the plane of the board; positive: ends towards A
	Rise      float64 `json:"rise"`      // mm of the middle over the ends of the joint; 300 mm when Length is 0
	StressA   float64 `json:"stress_a"`  // MPa beside the joint
	StressB   float64 `json:"stress_b"`
}

// Ends is the estimate at the ends of the joint, equation (3).
type Ends struct {
	Estimate  bool    `json:"estimate"` // always true: a one-dimensional form of a corner problem
	Averaging float64 `json:"averaging_length"`
	Shear     float64 `json:"shear"` // MPa, mean over Averaging
	Peel      float64 `json:"peel"`  // MPa, mean over Averaging; positive opens
}

// Check is one way to give, u = demand/capacity.
type Check struct {
	ID          string  `json:"id"`
	Text        string  `json:"text"`
	Demand      float64 `json:"demand"`   // MPa
	Capacity    float64 `json:"capacity"` // MPa
	Utilisation float64 `json:"utilisation"`
	Verdict     Verdict `json:"verdict"`
}

// Reason is one sentence a maker can act on, with a code a program can switch on.
type Reason struct {
	Code string `json:"code"`
	Text string `json:"text"`
}
