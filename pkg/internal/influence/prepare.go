package influence

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// kind is a set of pieces that follow the air alike: one wood, fibres up or in
// the face, one moisture at gluing and when the board was done.
type kind struct {
	Species *wood.Species
	Up      bool
	Glued   float64 // % MC when it was glued to its first neighbour: its constants and sizes are those
	Start   float64 // % MC when the last glue-up set, from which loads count; Glued unless there were stages
	Name    string
	share   float64 // of the board's area
	under   string  // see wetting
	surface surfaceStress
}

// change is the change of bound water [% MC] from the last glue-up to a moisture: what the
// wood swells by.
func (k *kind) change(mc float64) float64 {
	return k.Species.BoundWater(mc) - k.Species.BoundWater(k.Start)
}

// Parts is a board translated into woods, frames and kinds.
type Parts struct {
	Board  *layout.Board
	Wood   []plate.Wood
	Sides  []joint.Side // per piece, strength at the gluing moisture
	unit   [][3]float64 // per piece: strain along L, R, T per % MC
	Kinds  []kind
	KindOf []int // per piece; the nearest where it is a blend
	blends []blend
	past   *past
	wet    *wetting
}

// translate gives every piece its constants. Patches of the board's own exposures and
// of further events make kinds of their own. It returns the faults of woods that cannot
// be used, and of rests between glue-ups.
func translate(ctx context.Context, b *layout.Board, more []moisture.Event) (*Parts, error) {
	past, err := pastOf(ctx, b)
	if err != nil {
		return nil, err
	}
	return translated(b, past, wettingOf(b, more))
}

// translated is translate for a board whose past is known.
func translated(b *layout.Board, past *past, wet *wetting) (*Parts, error) {
	p := &Parts{Board: b, past: past, wet: wet,
		Wood: make([]plate.Wood, len(b.Pieces)), Sides: make([]joint.Side, len(b.Pieces)),
		unit: make([][3]float64, len(b.Pieces)), KindOf: make([]int, len(b.Pieces)), blends: make([]blend, len(b.Pieces)),
	}
	type stockKey struct {
		species string
		mc      float64
	}
	type constants struct {
		species  *wood.Species
		elastic  wood.Elastic
		strength wood.Strength
		unit     [3]float64
	}
	known := map[stockKey]*constants{}
	kinds := map[kindKey]int{}
	many := blended(b, past)
	for i := range b.Pieces {
		pc := &b.Pieces[i]
		k := stockKey{pc.Species, pc.Moisture}
		c := known[k]
		if c == nil {
			at := "/stock/" + fault.Key(pc.Stock)
			s, err := wood.Find(pc.Species)
			if err != nil {
				return nil, fault.At(err, at+"/species")
			}
			c = &constants{species: s, strength: s.Strength(pc.Moisture)}
			if c.elastic, err = s.Elastic(pc.Moisture); err != nil {
				return nil, fault.At(err, at+"/moisture")
			}
			c.unit[0], c.unit[1], c.unit[2] = s.SwellingRate(pc.Moisture)
			known[k] = c
		}
		p.unit[i] = c.unit
		p.Wood[i] = orient(pc, c.elastic, c.unit, b.Thickness)
		p.Sides[i] = joint.Side{Species: c.species, Frame: pc.Frame(pc.Centre), Strength: c.strength}
		kindAt := func(mc, ready float64) int {
			kk := kindKey{pc.Species, pc.Grain.Up, mc, ready, wet.under[i]}
			n, ok := kinds[kk]
			if !ok {
				n = len(p.Kinds)
				kinds[kk] = n
				name := c.species.CommonName + ", end grain"
				if !pc.Grain.Up {
					name = c.species.CommonName + ", long grain"
				}
				p.Kinds = append(p.Kinds, kind{Species: c.species, Up: pc.Grain.Up, Glued: mc, Start: ready, Name: name, under: wet.under[i]})
			}
			return n
		}
		if many[woodOf{pc.Species, pc.Grain.Up}] {
			lo, hi, more := between(pc.Moisture)
			p.blends[i] = blend{[2]int{kindAt(lo, lo), kindAt(hi, hi)}, more}
		} else {
			n := kindAt(pc.Moisture, past.ready[i])
			p.blends[i] = blend{kind: [2]int{n, n}}
		}
		p.KindOf[i] = p.blends[i].nearest()
		p.Kinds[p.KindOf[i]].surface.add(i, &p.Wood[i])
	}
	p.finish()
	return p, nil
}

// finish gives every kind its share of the board's area, and a piece to one that is
// nearest to none.
func (p *Parts) finish() {
	total := 0.0
	bare := make([]bool, len(p.Kinds))
	for k := range p.Kinds {
		bare[k] = p.Kinds[k].surface == surfaceStress{}
	}
	for i := range p.Board.Pieces {
		area := p.Board.Pieces[i].Area
		total += area
		for s, k := range p.blends[i].kind {
			share := p.blends[i].more
			if s == 0 {
				share = 1 - share
			}
			p.Kinds[k].share += share * area
			if bare[k] {
				p.Kinds[k].surface.add(i, &p.Wood[i])
			}
		}
	}
	for k := range p.Kinds {
		p.Kinds[k].share /= total
	}
}

// KindNames names the kinds apart: of one wood and grain the first plainly, the others
// by their moisture as well.
func (p *Parts) KindNames() []string {
	out := make([]string, len(p.Kinds))
	seen := map[string]bool{}
	for k := range p.Kinds {
		out[k] = p.Kinds[k].Name
		for digits := 3; seen[out[k]]; digits++ {
			out[k] = fmt.Sprintf("%s, glued at %.*g %%", p.Kinds[k].Name, digits, p.Kinds[k].Start)
		}
		seen[out[k]] = true
	}
	return out
}

type kindKey struct {
	species   string
	up        bool
	mc, ready float64
	under     string
}

// orient turns a wood's constants into board axes. Stiffness is that of the
// mid-plane. Where rings curve through the thickness h [mm], free strains are
// taken at the two heights ±h/√12 (Gauss points): their mean gives Unit and
// Shear, their slope Bend.
func orient(pc *layout.Piece, e wood.Elastic, unit [3]float64, h float64) plate.Wood {
	at := func(p layout.XY) plate.Wood {
		f := pc.Winding(pc.Frame(p))
		w := plate.Wood{Q: e.PlaneStress(f), G: e.TransverseShear(f)}
		if pc.Grain.Up || pc.Pith == nil {
			w.Unit, w.Shear = wood.InPlane(unit[0], unit[1], unit[2], f), freeShear(unit, f)
			return w
		}
		z := h / math.Sqrt(12)
		for _, s := range [2]float64{-1, 1} {
			f := pc.Winding(pc.FrameAt(p, s*z))
			in, shear := wood.InPlane(unit[0], unit[1], unit[2], f), freeShear(unit, f)
			for k := range in {
				w.Unit[k] += in[k] / 2
				w.Bend[k] += s * in[k] / (2 * z)
			}
			for k := range shear {
				w.Shear[k] += shear[k] / 2
			}
		}
		return w
	}
	w := at(pc.Centre)
	if pc.Heart != 0 {
		w.Bend = pithCurvature(pc, unit)
		for i, k := range windingCurvature(pc, unit) {
			w.Bend[i] += k
		}
	}
	if pc.Pith != nil {
		w.At = at
	}
	return w
}

// pithCurvature is the free curvature [1/mm per % MC, xx yy xy] of a flat-sawn plank whose
// rings are taken to curve about a pith at a distance r below its middle. Rings that
// swell by e_T round and e_R across turn every radius at an angle φ by (e_T − e_R)·φ,
// so that a line across them at a distance d = r·cos θ from the pith falls at a place x
// from its foot by
//
//	f(x) = (e_T − e_R)·x·atan(x/d)                                          (1)
//
// exactly. The curvature is that of the arc through both edges and the middle of the
// plank, at x = r·sin θ, even over it: of a narrow one 2·(e_T − e_R)·cos³θ/r, which is
// the cup (e_T − e_R)·b²/(4r) over a width b.
func pithCurvature(pc *layout.Piece, unit [3]float64) [3]float64 {
	sin, cos := math.Sincos(math.Abs(pc.RingAngle) * math.Pi / 180)
	r, b := math.Abs(pc.Heart), pc.Across()
	d, x := r*math.Abs(cos), r*sin
	f := func(x float64) float64 { return x * math.Atan(x/d) }
	k := math.Copysign((unit[2]-unit[1])*8/(b*b)*((f(x+b/2)+f(x-b/2))/2-f(x)), pc.Heart)
	across := (pc.Grain.Angle + 90) * math.Pi / 180
	s, c := math.Sincos(across)
	return [3]float64{k * c * c, k * s * s, 2 * k * c * s}
}

// windingCurvature is the free curvature [1/mm per % MC, xx yy xy] of such a plank whose fibres
// wind round the log. Along the fibres wood moves by e_L and round the log by e_T, so that
// fibres at an angle θ shear by g = 2·(e_L − e_T)·sin θ·cos θ the plane of the rings. Round
// the log that shear turns with the rings, and a strip that is free of stress follows it by
// the twist
//
//	τ = ½·(∂g/∂r + g/r) = g/2r                                              (2)
//
// (½ of the curl of the free shear strains of a bar, Saint-Venant; g is taken as even
// over the plank): (e_L − e_T)·θ/r for a small slope θ at r from the pith. Of the shear
// strain of a plate, −2·z·∂²w/∂x∂y, it takes −2τ. Heart side up or down it is the same:
// a screw turned over is the same screw. A closed thin tube of that radius, whose shear
// strain is τ·r, twists twice as far: a plank is no tube.
func windingCurvature(pc *layout.Piece, unit [3]float64) (k [3]float64) {
	if pc.Slope == 0 {
		return k
	}
	g := 2 * (unit[0] - unit[2]) * pc.Slope / (1 + pc.Slope*pc.Slope)
	xy := -g / math.Abs(pc.Heart)
	s, c := math.Sincos(pc.Grain.Angle * math.Pi / 180)
	return [3]float64{-xy * s * c, xy * s * c, xy * (c*c - s*s)}
}

// freeShear gives the transverse shear xz, yz (engineering) that free strains
// along L, R, T bring: 2·Σ e·a_x·a_z and 2·Σ e·a_y·a_z over the three axes.
func freeShear(unit [3]float64, f wood.Frame) (g [2]float64) {
	for k, a := range [3][3]float64{f.L, f.R, f.T} {
		g[0] += 2 * unit[k] * a[0] * a[2]
		g[1] += 2 * unit[k] * a[1] * a[2]
	}
	return g
}
