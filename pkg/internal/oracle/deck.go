package oracle

import (
	"fmt"
	"math"
)

// Vec2 is a place on the face of the board [mm].
type Vec2 [2]float64

func (a Vec2) minus(b Vec2) Vec2            { return Vec2{a[0] - b[0], a[1] - b[1]} }
func (a Vec2) along(b Vec2, s float64) Vec2 { return Vec2{a[0] + s*b[0], a[1] + s*b[1]} }
func (a Vec2) dot(b Vec2) float64           { return a[0]*b[0] + a[1]*b[1] }
func (a Vec2) cross(b Vec2) float64         { return a[0]*b[1] - a[1]*b[0] }
func (a Vec2) norm() float64                { return math.Hypot(a[0], a[1]) }

// Elastic holds the nine constants of an orthotropic wood [MPa; Poisson ratios
// dimensionless]. NuXY is the contraction along Y under a load along X.
type Elastic struct {
	EL   float64 `json:"EL"`
	ER   float64 `json:"ER"`
	ET   float64 `json:"ET"`
	GLR  float64 `json:"GLR"`
	GLT  float64 `json:"GLT"`
	GRT  float64 `json:"GRT"`
	NuLR float64 `json:"nuLR"`
	NuLT float64 `json:"nuLT"`
	NuRT float64 `json:"nuRT"`
}

// Strain is the free strain along the three material axes (dimensionless).
type Strain struct {
	L float64 `json:"L"`
	R float64 `json:"R"`
	T float64 `json:"T"`
}

// Piece is one convex piece of wood.
type Piece struct {
	ID    string  `json:"id"`
	Wood  string  `json:"wood"`  // canonical id
	Up    bool    `json:"up"`    // fibres along z
	Angle float64 `json:"angle"` // fibres from +x [degrees], when not Up
	Ring  float64 `json:"ring"`  // ring angle [degrees]
	// Pith: rings run round this place of the face (end grain), or round the line
	// along the fibres at this place across them and this height over half
	// thickness (long grain along x, solid model only).
	Pith    *Vec2   `json:"pith,omitempty"`
	From    float64 `json:"from"`    // % MC when glued
	To      float64 `json:"to"`      // % MC of the state asked for
	Corners []Vec2  `json:"corners"` // counter-clockwise

	Elastic Elastic    `json:"elastic"`
	Strain  Strain     `json:"strain"`
	AxisR   [3]float64 `json:"axisR"` // unit vectors of the material axes; unused with Pith
	AxisT   [3]float64 `json:"axisT"`
	AxisL   [3]float64 `json:"axisL"`
}

// Joint is a straight glue line between pieces A and B (indices).
type Joint struct {
	A    int  `json:"a"`
	B    int  `json:"b"`
	From Vec2 `json:"from"`
	To   Vec2 `json:"to"`
}

// Deck is a board as the oracle knows it.
type Deck struct {
	Name      string  `json:"name"`
	About     string  `json:"about"`
	Thickness float64 `json:"thickness"` // mm
	Window    float64 `json:"window"`    // mm, over which tractions are averaged at each end of a joint
	Pieces    []Piece `json:"pieces"`
	Joints    []Joint `json:"joints"`
	// Support: the first place is held in x and y, the second (at the same y) in y.
	// The solid model holds all three at half thickness in z as well.
	Support [3]Vec2 `json:"support"`
	// Probes are further places whose displacement is wanted: middles of edges of
	// pieces without T-junctions, or their centres.
	Probes []Vec2 `json:"probes,omitempty"`
	// Solid: bricks of the true thickness instead of plane stress.
	Solid bool `json:"solid,omitempty"`
	// Gradient: the free strain is Strain·2z/t, zero at half thickness, instead of
	// uniform; solid model only.
	Gradient bool `json:"gradient,omitempty"`
	// Moments: record tractions of a solid model too, as gradients over the
	// thickness: 12/h³·∫ σ z dz [MPa/mm].
	Moments bool `json:"moments,omitempty"`
}

// near is the distance [mm] below which two places are the same.
const near = 1e-6

// finish works out the joints and refuses decks the meshers cannot take.
func (d *Deck) finish() error {
	for i, p := range d.Pieces {
		n := len(p.Corners)
		if n < 3 {
			return fmt.Errorf("oracle: %s: piece %s has %d corners", d.Name, p.ID, n)
		}
		for k := range p.Corners {
			a, b, c := p.Corners[k], p.Corners[(k+1)%n], p.Corners[(k+2)%n]
			if b.minus(a).cross(c.minus(b)) <= 0 {
				return fmt.Errorf("oracle: %s: piece %d (%s) is not convex and counter-clockwise at corner %d", d.Name, i, p.ID, (k+1)%n)
			}
		}
	}
	d.Joints = findJoints(d.Pieces)
	return nil
}

// findJoints lists every stretch along which an edge of one piece lies on an
// edge of another that runs the other way.
func findJoints(pieces []Piece) []Joint {
	var joints []Joint
	for i := range pieces {
		for j := i + 1; j < len(pieces); j++ {
			for a := range pieces[i].Corners {
				for b := range pieces[j].Corners {
					p, q := edge(pieces[i].Corners, a)
					r, s := edge(pieces[j].Corners, b)
					if from, to, ok := overlap(p, q, r, s); ok {
						joints = append(joints, Joint{A: i, B: j, From: from, To: to})
					}
				}
			}
		}
	}
	return joints
}

func edge(c []Vec2, k int) (p, q Vec2) { return c[k], c[(k+1)%len(c)] }

// overlap is the common stretch of p→q and r→s, directed along p→q.
func overlap(p, q, r, s Vec2) (from, to Vec2, ok bool) {
	dir := q.minus(p)
	length := dir.norm()
	dir = Vec2{dir[0] / length, dir[1] / length}
	if math.Abs(dir.cross(r.minus(p))) > near || math.Abs(dir.cross(s.minus(p))) > near {
		return from, to, false
	}
	lo, hi := dir.dot(s.minus(p)), dir.dot(r.minus(p)) // a neighbour runs the other way
	if lo > hi {
		return from, to, false
	}
	lo, hi = math.Max(lo, 0), math.Min(hi, length)
	if hi-lo < 1e-3 {
		return from, to, false
	}
	return p.along(dir, lo), p.along(dir, hi), true
}

// points lists every corner of every piece once, in order of appearance, then the probes.
func (d *Deck) points() []Vec2 {
	var out []Vec2
	for _, p := range d.Pieces {
	next:
		for _, c := range p.Corners {
			for _, have := range out {
				if have.minus(c).norm() < near {
					continue next
				}
			}
			out = append(out, c)
		}
	}
	return append(out, d.Probes...)
}
