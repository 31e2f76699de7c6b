package joint

import (
	"iter"
	"math"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Side is the wood on one side of a glue line, ready for the sum.
type Side struct {
	Species  *wood.Species
	Frame    wood.Frame
	Strength wood.Strength // MPa at the moisture considered
}

// Part says where a joint gives.
type Part int

// The three parts of a joint.
const (
	WoodA Part = iota
	Bond
	WoodB
)

// Limit is one capacity of one part of a joint, MPa.
type Limit struct {
	Value float64
	Part  Part
	Mode  string // "tension across the grain", "rolling shear", …
}

// Capacity is what the parts of a joint bear at the moisture of its sides'
// Strength: wood A, the bond at its face to A, that at its face to B, wood B.
// Each has its own tension and its own shear; see Limits.
type Capacity struct {
	parts  [4]part
	Crush  [2]Limit // pressure on the joint at which wood A and wood B begin to be crushed, MPa
	Length float64  // mm, averaging length
}

// part is the criterion of one part of a joint, and what its two ways of giving are called.
type part struct {
	criterion Criterion
	part      Part
	mode      [2]string
}

// Scale is what the moment does to the strengths: moisture to the two woods,
// water to the bond, whose two faces follow the wood they hold to. All are
// factors; the zero value means no change.
type Scale struct{ TensionA, TensionB, ShearA, ShearB, Bond float64 }

// CapacityOf works out what a joint bears.
//
// n and t are the joint's unit normal (from A to B) and tangent in the board's
// plane. glue is a factor on the bond (1 for a sound bond).
func CapacityOf(a, b Side, n, t [2]float64, glue float64) Capacity {
	c := Capacity{
		parts: [4]part{woodPart(&a, WoodA, n, t), bondPart(&a, n, glue), bondPart(&b, n, glue), woodPart(&b, WoodB, n, t)},
		Crush: [2]Limit{{a.Strength.CompressionPerp, WoodA, "compression across the grain"}, {b.Strength.CompressionPerp, WoodB, "compression across the grain"}},
	}
	c.Length = AveragingLength().V
	return c
}

// WholeWood is what a plane within one piece bears, as a joint whose every part is
// that wood. n and t as in CapacityOf.
func WholeWood(s Side, n, t [2]float64) Capacity {
	w := woodPart(&s, WoodA, n, t)
	crush := Limit{s.Strength.CompressionPerp, WoodA, "compression across the grain"}
	return Capacity{parts: [4]part{w, w, w, w}, Crush: [2]Limit{crush, crush}, Length: AveragingLength().V}
}

func woodPart(s *Side, at Part, n, t [2]float64) part {
	criterion, shear := woodCriterion(s, n, t)
	return part{criterion, at, [2]string{crossTension, shear}}
}

// bondPart is the bond to one face. Side grain holds as the wood itself does
// across the grain and in shear along it, whatever way the shear runs, for the
// line has no grain. An end-grain face holds a share of the tension along the
// grain and of the shear. A face that cuts the fibres at an angle φ from its
// normal lies between the two by Hankinson's form (exponent 2: never below
// either),
//
//	f(φ) = f_end·f_side/(f_end·sin²φ + f_side·cos²φ),                          (5)
//
// all less by the gluing class of the wood.
func bondPart(s *Side, n [2]float64, glue float64) part {
	side, sin := n, 1.0
	if !upright(&s.Frame) {
		side = sideways(&s.Frame)
		sin = side[0]*n[0] + side[1]*n[1]
	}
	hold := glue * GluingFactor(s.Species.Bonding)
	ft := hold * between(figures()["end-grain-tension"].V*s.Strength.TensionLong, across(s, side), sin)
	fv := hold * between(figures()["end-grain-shear"].V*s.Strength.ShearLong, s.Strength.ShearLong, sin)
	return part{Criterion{Open: [2]float64{1 / ft, 0}, Slide: [2]float64{0, 1 / fv}}, Bond, [2]string{"bond in tension", "bond in shear"}}
}

// between is Hankinson's form (5): p at sin 0, q at sin ±1, in their unit.
func between(p, q, sin float64) float64 { return p * q / (p*sin*sin + q*(1-sin*sin)) }

// Weaken multiplies the strength of the bond by a factor.
func (c *Capacity) Weaken(factor float64) {
	for i := range c.parts {
		if c.parts[i].part == Bond {
			c.parts[i].criterion = c.parts[i].criterion.Scaled(factor, factor)
		}
	}
}

// Limits are the criteria that can decide at one moment. A part that is the weaker
// both ways hides the others.
type Limits struct {
	n        int
	criteria [4]Criterion
	named    [4]*part // which they are of
}

// At gives the limits under a change of moisture and water.
func (c *Capacity) At(s Scale) Limits {
	var l Limits
	for i, criterion := range c.Parts(s) {
		l.add(&criterion, &c.parts[i])
	}
	return l
}

// Parts gives the criteria of all parts under a change of moisture and water, whether
// or not they can decide: wood A, the bond to it, the bond to wood B, wood B. A path
// across several joints adds up what it asks of each of them.
func (c *Capacity) Parts(s Scale) (criteria [4]Criterion) {
	if s == (Scale{}) {
		s = Scale{1, 1, 1, 1, 1}
	}
	criteria[0] = c.parts[0].criterion.Scaled(s.TensionA, s.ShearA)
	criteria[1] = c.parts[1].criterion.Scaled(s.TensionA*s.Bond, s.ShearA*s.Bond)
	criteria[2] = c.parts[2].criterion.Scaled(s.TensionB*s.Bond, s.ShearB*s.Bond)
	criteria[3] = c.parts[3].criterion.Scaled(s.TensionB, s.ShearB)
	return criteria
}

// Named tells which part number i of Parts is, and how it gives when it opens or slides.
func (c *Capacity) Named(i int, opens bool) (Part, string) {
	p := &c.parts[i]
	if opens {
		return p.part, p.mode[0]
	}
	return p.part, p.mode[1]
}

// add keeps a part unless another covers it, and drops those that it covers. Of
// two that are alike the first stays.
func (l *Limits) add(c *Criterion, p *part) {
	for i := range l.n {
		if l.criteria[i].covers(c) {
			return
		}
	}
	kept := 0
	for i := range l.n {
		if !c.covers(&l.criteria[i]) {
			l.criteria[kept], l.named[kept] = l.criteria[i], l.named[i]
			kept++
		}
	}
	l.criteria[kept], l.named[kept] = *c, p
	l.n = kept + 1
}

// Criteria goes over the criteria that can decide.
func (l *Limits) Criteria() iter.Seq[*Criterion] {
	return func(yield func(*Criterion) bool) {
		for i := range l.n {
			if !yield(&l.criteria[i]) {
				return
			}
		}
	}
}

// alike is the relative difference of u² below which two parts count as equally
// loaded; the first in the order wood A, bond, wood B is named.
const alike = 1e-9

// Square is u² of the weakest part for a traction [MPa].
func (l *Limits) Square(n, t float64) float64 {
	worst := 0.0
	for i := range l.n {
		worst = max(worst, l.criteria[i].Square(n, t))
	}
	return worst
}

// Judge gives the utilisation of the joint under a traction [MPa], the largest
// of its parts' own, with its slopes.
func (l *Limits) Judge(n, t float64) Judgement {
	best, worst := 0, 0.0
	for i := range l.n {
		if q := l.criteria[i].Square(n, t); q > worst*(1+alike) {
			best, worst = i, q
		}
	}
	p := l.named[best]
	j := l.criteria[best].Judge(n, t)
	j.Part, j.Mode = p.part, p.mode[0]
	if j.ByShear < j.ByTension {
		j.Mode = p.mode[1]
	}
	return j
}

// Least gives the smallest tension alone and the smallest shear alone that some
// part bears [MPa], for tables: a traction of both is judged part by part.
func (l *Limits) Least() (tension, shear Limit) {
	tension.Value, shear.Value = math.Inf(1), math.Inf(1)
	for i := range l.n {
		p, c := l.named[i], &l.criteria[i]
		if v := c.Tension(); v < tension.Value {
			tension = Limit{v, p.part, p.mode[0]}
		}
		if v := c.Shear(); v < shear.Value {
			shear = Limit{v, p.part, p.mode[1]}
		}
	}
	return tension, shear
}
