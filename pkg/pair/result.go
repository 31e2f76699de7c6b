package pair

import (
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Result is the answer to one Request. Strains are dimensionless, of the size
// when glued; stresses MPa; lengths mm; moisture % of oven-dry mass.
type Result struct {
	Verdict     verdict.Word `json:"verdict"`
	Utilisation float64      `json:"utilisation"` // the largest of Checks: that of the two strips as a board
	Governs     string       `json:"governs"`     // id of that check
	Headline    string       `json:"headline"`

	Words verdict.Scale `json:"words_from"` // loads over the critical one at which the words begin

	Notices notice.List `json:"notices,omitempty"` // what is possible but hardly meant
	Reasons []Reason    `json:"reasons"`

	A        Side     `json:"a"`
	B        Side     `json:"b"`
	Length   float64  `json:"length"`        // mm, as asked; 0: long
	Solved   float64  `json:"solved_length"` // mm, as solved: a longer joint is the same at its ends
	Mismatch Mismatch `json:"mismatch"`
	Straight Straight `json:"held_straight"`
	Bow      Bow      `json:"free_to_bow"`
	Ends     Ends     `json:"ends"`

	Relaxation  float64         `json:"relaxation"` // factor applied to every stress
	Checks      []Check         `json:"checks"`
	Pressed     []Press         `json:"pressed"`   // wood that is pressed along the joint; no verdict hangs on it
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
	Tension    float64 `json:"tension"`       // MPa, what it bears pulled along the joint
	Bond       float64 `json:"bond"`          // MPa, what the bond's hold on it bears, opened
	JointShear float64 `json:"joint_shear"`   // MPa, what its wood or the bond's hold on it bears in the plane of the joint
}

// Mismatch is B less A.
type Mismatch struct {
	Along  float64 `json:"along"`  // must be shared by the pieces: it makes the stress
	Normal float64 `json:"normal"` // free in a pair, restrained by neighbours in a field
	Shear  float64 `json:"shear"`  // engineering; likewise
	Step   float64 `json:"step"`   // mm, difference of thickness felt at the joint; positive: B proud
}

// Straight is the pair kept straight by a board around it, equation (1): an
// estimate far from the ends, and no part of the verdict.
type Straight struct {
	Estimate bool    `json:"estimate"` // always true
	Force    float64 `json:"force"`    // N a mm of thickness
	StressA  float64 `json:"stress_a"` // MPa along the joint, tension positive
	StressB  float64 `json:"stress_b"`
}

// Bow is the pair by itself, equation (2): an estimate far from the ends, with
// which the solved strips agree there.
type Bow struct {
	Estimate  bool    `json:"estimate"`  // always true
	Curvature float64 `json:"curvature"` // 1/mm, in the plane of the board; positive: ends towards A
	Rise      float64 `json:"rise"`      // mm of the middle over the ends of the joint; 300 mm when Length is 0
	StressA   float64 `json:"stress_a"`  // MPa beside the joint
	StressB   float64 `json:"stress_b"`
}

// Ends is the traction on the worst stretch of the joint, from the two strips
// solved as a board.
type Ends struct {
	Averaging float64 `json:"averaging_length"` // mm
	Shear     float64 `json:"shear"`            // MPa, mean over Averaging
	Peel      float64 `json:"peel"`             // MPa, mean over Averaging; positive opens
}

// Check is one way to give: u = √((tension/tension_capacity)² +
// (shear/shear_capacity)²) on the plane that decides. A capacity is left out where
// nothing asks for it.
type Check struct {
	ID              string       `json:"id"`
	Text            string       `json:"text"`
	Tension         float64      `json:"tension"`                    // MPa, 0 where it is pressed
	TensionCapacity float64      `json:"tension_capacity,omitempty"` // MPa
	Shear           float64      `json:"shear"`                      // MPa
	ShearCapacity   float64      `json:"shear_capacity,omitempty"`   // MPa
	Stress          float64      `json:"stress"`                     // over strength, of the two above
	Utilisation     float64      `json:"utilisation"`                // load over the load at which a crack starts and runs
	Verdict         verdict.Word `json:"verdict"`
}

// Press is wood pressed along the joint, a share of what crushes it.
type Press struct {
	ID       string  `json:"id"`
	Text     string  `json:"text"`
	Stress   float64 `json:"stress"`   // MPa
	Capacity float64 `json:"capacity"` // MPa, compression across the grain at the proportional limit
	Share    float64 `json:"share"`
	Estimate bool    `json:"estimate"` // always true: from the closed forms
}

// Reason is one sentence a maker can act on, with a code a program can switch on.
type Reason struct {
	Code string `json:"code"`
	Text string `json:"text"`
}
