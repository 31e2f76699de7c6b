package joint

import (
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Side is the wood on one side of a glue line, ready for the sum.
type Side struct {
	Species  *wood.Species
	Frame    wood.Frame
	Strength wood.Strength // MPa at the moisture considered
}

// Limit is one capacity of one part of a joint, MPa.
type Limit struct {
	Value float64
	Part  Part
	Mode  string // "tension across the grain", "rolling shear", …
}

// Part says where a joint gives.
type Part int

// The three parts of a joint.
const (
	WoodA Part = iota
	Bond
	WoodB
)

// Capacity is what the three parts of a joint bear at the moisture of its
// sides' Strength, in the order wood A, bond, wood B.
type Capacity struct {
	Tension [3]Limit
	Shear   [3]Limit
	Crush   Limit   // pressure on the joint at which wood begins to be crushed, MPa
	Length  float64 // mm, averaging length: the shorter of the two woods' own
}

// Scale is what the moment does to the strengths: moisture to the two woods,
// water to the bond. All are factors; the zero value means no change.
type Scale struct{ TensionA, TensionB, ShearA, ShearB, Bond float64 }

// CapacityOf works out what a joint bears.
//
// n and t are the joint's unit normal and tangent in the board's plane. glue
// scales the bond (1 for a sound bond stronger than the wood).
func CapacityOf(a, b Side, n, t [2]float64, glue float64) Capacity {
	c := Capacity{
		Tension: [3]Limit{tension(a, n, WoodA), bondTension(a, b, n, glue), tension(b, n, WoodB)},
		Shear:   [3]Limit{shear(a, n, t, WoodA), bondShear(a, b, glue), shear(b, n, t, WoodB)},
		Crush:   Limit{a.Strength.CompressionPerp, WoodA, "compression across the grain"},
	}
	if b.Strength.CompressionPerp < c.Crush.Value {
		c.Crush = Limit{b.Strength.CompressionPerp, WoodB, c.Crush.Mode}
	}
	da, _ := a.Species.CharacteristicLength()
	db, _ := b.Species.CharacteristicLength()
	c.Length = math.Min(da, db)
	return c
}

// Least gives the governing tension and shear limits under a change of moisture.
// The bond follows the weaker of its two faces.
func (c *Capacity) Least(s Scale) (tension, shear Limit) {
	if s == (Scale{}) {
		s = Scale{1, 1, 1, 1, 1}
	}
	return least(c.Tension, s.TensionA, s.TensionB, s.Bond), least(c.Shear, s.ShearA, s.ShearB, s.Bond)
}

func least(l [3]Limit, a, b, bond float64) Limit {
	l[0].Value *= a
	l[1].Value *= math.Min(a, b) * bond
	l[2].Value *= b
	out := l[0]
	for _, x := range l[1:] {
		if x.Value < out.Value {
			out = x
		}
	}
	return out
}

// along gives |n·L|, and the angle of n's part across the fibres from R in degrees.
func along(f wood.Frame, n [2]float64) (cos, ring float64) {
	d := func(v [3]float64) float64 { return v[0]*n[0] + v[1]*n[1] }
	l, r, t := math.Abs(d(f.L)), math.Abs(d(f.R)), math.Abs(d(f.T))
	if r == 0 && t == 0 {
		return l, 0
	}
	return l, math.Atan2(t, r) * 180 / math.Pi
}

// crossTension is the tension strength across the grain in the direction of n,
// between R and T, exponent 2 (the trend between two measured axes).
func crossTension(s Side, ring float64) float64 {
	return wood.Hankinson(s.Strength.TensionR, s.Strength.TensionT, ring, 2)
}

// tensionExponent is the middle of the handbook's 1.5 to 2 for tension (Wood
// Handbook, FPL-GTR-190, chapter 5, Hankinson-type formula; from memory).
const tensionExponent = 1.75

func tension(s Side, n [2]float64, part Part) Limit {
	cos, ring := along(s.Frame, n)
	angle := math.Acos(math.Min(1, cos)) * 180 / math.Pi
	v := wood.Hankinson(s.Strength.TensionLong, crossTension(s, ring), angle, tensionExponent)
	mode := "tension across the grain"
	if cos > 0.5 {
		mode = "tension along the grain"
	}
	return Limit{v, part, mode}
}

// transverse gives how much of a shear on plane n along t runs across the
// fibres on both counts (1: rolling shear only, 0: shear along the fibres).
func transverse(f wood.Frame, n, t [2]float64) float64 {
	dot := func(v [2]float64) float64 { return v[0]*f.L[0] + v[1]*f.L[1] }
	ln, lt := dot(n), dot(t)
	return math.Sqrt(math.Max(0, 1-ln*ln) * math.Max(0, 1-lt*lt))
}

func shear(s Side, n, t [2]float64, part Part) Limit {
	f := transverse(s.Frame, n, t)
	r, l := f/s.Strength.ShearRolling, math.Sqrt(math.Max(0, 1-f*f))/s.Strength.ShearLong
	mode := "shear along the grain"
	if r > l {
		mode = "rolling shear"
	}
	return Limit{1 / math.Hypot(r, l), part, mode}
}

// GluingFactor scales the bond by the ease of gluing of a species (classes of
// the Wood Handbook, FPL-GTR-190, Table 10-1). The handbook gives no numbers
// with the classes; these are common practice, no source.
func GluingFactor(class string) float64 {
	switch class {
	case "easily", "well":
		return 1
	case "satisfactorily":
		return 0.95
	case "with-difficulty":
		return 0.8
	}
	return 0.9 // class not published
}

// ScarfEfficiency is the share of the strength along the grain that a glued
// slope of 1 in k keeps: 12 0.90, 10 0.85, 8 0.80, 5 0.65 (Wood Handbook,
// FPL-GTR-113, chapter 9; from memory), and 0.10 for a butt joint on end grain,
// which the handbook says reaches at most 0.25 with special care (FPL-GTR-190,
// page 10-19); between these it runs straight.
func ScarfEfficiency(k float64) float64 {
	ks, es := [6]float64{0, 5, 8, 10, 12, math.Inf(1)}, [6]float64{0.10, 0.65, 0.80, 0.85, 0.90, 0.90}
	for i := 1; i < len(ks); i++ {
		if k <= ks[i] {
			if math.IsInf(ks[i], 1) {
				break
			}
			return es[i-1] + (es[i]-es[i-1])*(k-ks[i-1])/(ks[i]-ks[i-1])
		}
	}
	return 0.90
}

// bondTension is the tension on the glue line that its weaker face bears: side
// grain as strong as the wood across the grain; a face that cuts the fibres at
// an angle by its slope, as traction on the line (σ·cos²).
func bondTension(a, b Side, n [2]float64, glue float64) Limit {
	v := math.Inf(1)
	for _, s := range [2]Side{a, b} {
		cos, ring := along(s.Frame, n)
		face := crossTension(s, ring)
		if cos > 0.1 {
			k := math.Sqrt(1-math.Min(1, cos*cos)) / cos
			face = ScarfEfficiency(k) * s.Strength.TensionLong * cos * cos
		}
		v = math.Min(v, face*GluingFactor(s.Species.Bonding)*glue)
	}
	return Limit{v, Bond, "bond in tension"}
}

func bondShear(a, b Side, glue float64) Limit {
	// A sound side-grain bond reaches the wood's shear strength along the grain
	// whatever the direction of shear: the line itself has no grain.
	v := math.Inf(1)
	for _, s := range [2]Side{a, b} {
		v = math.Min(v, s.Strength.ShearLong*GluingFactor(s.Species.Bonding)*glue)
	}
	return Limit{v, Bond, "bond in shear"}
}

// Utilisation gives u for a traction (n opens, t slides; MPa) on the governing
// limits, how it would go, and which limit decides.
func Utilisation(n, t float64, tension, shear Limit) (u float64, how How, gives Limit) {
	a, b := math.Max(0, n)/tension.Value, math.Abs(t)/shear.Value
	if a >= b {
		return math.Hypot(a, b), Opens, tension
	}
	return math.Hypot(a, b), Slides, shear
}

// How is the way a joint goes.
type How string

// The ways.
const (
	Opens  How = "opens"
	Slides How = "slides"
	Splits How = "wood splits"
)
