package influence

import (
	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/internal/flatness"
	"github.com/tanrad/tanrad/pkg/internal/fracture"
	"github.com/tanrad/tanrad/pkg/internal/layers"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Stretch is what makes up the mean traction on the stretch of a path that opens.
type Stretch struct {
	Kinds     []KindTraction  // per kind, MPa for one % MC and for one % MC a mm
	Rests     []MeanTraction  // MPa, what every rest between two glue-ups left
	After     []int           // number of the stage after which it came
	N, T      float64         // MPa, all together
	Criterion joint.Criterion // what the part that decides bears
	Even      bool            // the same all along the stretch
}

// StretchOf adds up the tractions on the stretch of a path that opens, at the level
// where it does.
func (p *PathMoment) StretchOf() Stretch {
	m, lm, r := p.m, p.lm, &p.Result
	st := m.stateOf(lm, p.Load)
	z, c := st.Height[r.Level], lm.Crack
	n := len(m.Kinds)
	out := Stretch{Kinds: make([]KindTraction, n), Rests: make([]MeanTraction, len(m.spells)), Even: true}
	for i, of := range c.Joint {
		share := (min(r.To, c.Place[2*i+2]) - max(r.From, c.Place[2*i])) / (c.Place[2*i+2] - c.Place[2*i])
		if share <= 0 {
			continue
		}
		if law := st.Criteria[r.Level][of][r.Part]; out.Criterion == (joint.Criterion{}) {
			out.Criterion = law
		} else if law != out.Criterion {
			out.Even = false
		}
		add := func(to *MeanTraction, of *fracture.Load, by float64) {
			to.N += by * share * of.SideN[i] / (r.To - r.From)
			to.T += by * share * of.SideT[i] / (r.To - r.From)
		}
		for k := range n {
			add(&out.Kinds[k].Mean, &c.Membrane[k], 1)
			if st.Bending != nil {
				add(&out.Kinds[k].Slope, &c.Bending[k], z)
			}
			if m.Warps {
				add(&out.Kinds[k].Mean, &c.Bending[n+k], z)
			}
		}
		for k := range m.spells {
			add(&out.Rests[k], &c.Membrane[n+k], 1)
			if m.Warps {
				add(&out.Rests[k], &c.Bending[2*n+k], z)
			}
		}
	}
	for k := range m.spells {
		out.After = append(out.After, m.past.spells[k].stage)
	}
	out.sum(p.Load)
	return out
}

// Opens is the piece in which the stretch that opens bears most.
func (p *PathMoment) Opens() int {
	lj := p.Path.Line.Joints[p.Result.Joint]
	return p.Path.Of[p.Path.Joints[lj.Joint].A]
}

// Toughness is the mean over the stretch that opens of what the wood takes to open, N/mm.
func (p *PathMoment) Toughness() fracture.Toughness {
	return p.m.ToughnessOn(&p.LineMoment, p.Result.From, p.Result.To)
}

// PathOf finds the path on which a state or a history is worst among those that were
// laid, with what was solved for it and the moment of that state; nil for none.
func (j *Judged) PathOf(p *PathMoment) *PathMoment {
	for i := range j.Paths {
		if q := &j.Paths[i]; p.Path != nil && q.Path == p.Path {
			now := *q
			now.LineMoment = p.LineMoment
			return &now
		}
	}
	return nil
}

// Curl is what a kind does to the curvature of the board along x, along y and of its
// twist, 1/mm: for one % MC a mm of slope, and for one % MC of even change.
type Curl struct{ Slope, Even [3]float64 }

// Curls gives what every kind does; nothing without bending.
func (m *Model) Curls() []Curl {
	out := make([]Curl, len(m.Kinds))
	for k := range out {
		if m.curves != nil {
			out[k].Slope = [3]float64{m.curves[k].XX, m.curves[k].YY, m.curves[k].XY}
		}
		if m.warps != nil {
			out[k].Even = [3]float64{m.warps[k].XX, m.warps[k].YY, m.warps[k].XY}
		}
	}
	return out
}

// AcrossX tells that the cup is told along x: the narrow way of the board.
func (m *Model) AcrossX() bool { return m.acrossX }

// Bent is how far a load bends the board: cup, bow and twist [mm], and that over its
// limit.
func (m *Model) Bent(l *Load) (cup, bow, twist, index float64) {
	s := m.shapeAt(l)
	return s.cup, s.bow, s.twist, m.index(&s)
}

// Grows gives what every kind adds to the extent of the board along an axis (0 x, 1 y)
// under a load, mm for one % MC, between the places that stand out furthest then, and
// by how much further apart these lay before than the board is long, mm.
func (m *Model) Grows(l *Load, axis int) (per []float64, more float64) {
	low, high, more := m.Plate.Farthest(combine(m.rims, l.Mean), axis)
	for k := range m.rims {
		per = append(per, m.rims[k][2*high+axis]-m.rims[k][2*low+axis])
	}
	return per, more
}

// MeanStrain is the mean over the area of what every piece would move along an axis
// (0 x, 1 y) by itself, dimensionless.
func (m *Model) MeanStrain(l *Load, axis int) float64 { return m.meanStrain(l.Mean)[axis] }

// Share is that of a kind in the area of the board.
func (m *Model) Share(kind int) float64 { return m.Kinds[kind].share }

// Skin is what stands behind a check from a face, when it is deepest.
type Skin struct {
	Kind, Piece  int
	Face, Middle float64    // % MC of bound water, in the layer at the face and as the mean of all
	Held         float64    // MPa that one % MC makes in wood that is held back altogether
	Stress       float64    // MPa in the layer at the face
	Strength     float64    // MPa there
	Intensity    float64    // MPa·√m of a crack as deep as the check
	Release      float64    // J/m² that it sets free a mm further
	Needed       float64    // J/m² that it takes
	Moduli       [4]float64 // along the way the crack runs and square to its plane, MPa; shear, MPa; contraction
	Along        bool       // it runs along the fibres
}

// SkinOf tells what stands behind the deepest check of a history; false where nothing
// opens.
func (m *Model) SkinOf(h *ExposureResult) (s Skin, ok bool) {
	c := &h.Opens
	if c.Depth <= 0 {
		return s, false
	}
	th, kd := h.LoadHistory.Shape[c.Kind].through, &m.Kinds[c.Kind]
	bound, stress := th.atDeepest[0], th.atDeepest[1]
	mat, tough := kd.material(), kd.splitting()
	face := 0
	if c.Top {
		face = len(stress) - 1
	}
	s = Skin{Kind: c.Kind, Piece: c.Piece, Face: bound[face], Held: mat.Modulus, Stress: stress[face], Strength: mat.Tension.At(bound[face]), Needed: tough.Energy, Along: kd.Up}
	thick := 0.0
	for i, w := range th.section.Width {
		s.Middle, thick = s.Middle+w*bound[i], thick+w
	}
	s.Middle /= thick
	s.Intensity = th.section.Intensity(stress, c.Depth, c.Top)
	s.Release = th.section.Release(stress, c.Depth, c.Top, tough)
	if e, err := kd.Species.Elastic(kd.Start); err == nil {
		s.Moduli = [4]float64{e.ER, e.ET, e.GRT, e.NuRT}
		if kd.Up {
			s.Moduli = [4]float64{e.EL, e.ET, e.GLT, e.NuLT}
		}
	}
	return s, true
}

// RimOf is the stress [MPa] that the wood at the rim brings across a line at the end from
// which it opens, the share of its strength that the bond has there, and over what
// length [mm].
func (m *Model) RimOf(l *LineMoment) (stress float64, share wood.Value, length float64) {
	lm := m.Lines[l.Line]
	end := lm.ends[0]
	if l.Result.From >= Flat {
		end = lm.ends[1]
	}
	share = wood.Value{V: 1}
	if end == nil || l.Load.rims == nil || l.Load.rims.of[end.key] == nil {
		return 0, share, 0
	}
	if lm.weakEnds {
		share = joint.EndShare()
	}
	return l.Load.rim * l.Load.rims.of[end.key].stressAt(l.Load.at, 0, end.modulus), share, joint.EndLength().V
}

// MeanStrainAlong is the mean over the area of what every piece would move along a
// direction of the plane by itself, dimensionless.
func (m *Model) MeanStrainAlong(l *Load, t [2]float64) float64 {
	e := m.meanStrain(l.Mean)
	return e[0]*t[0]*t[0] + e[1]*t[1]*t[1] + e[2]*t[0]*t[1]
}

// MeanUnit is the strain of the board's plane for one % MC, mean over the pieces of a kind.
func (m *Model) MeanUnit(kind int) (e [3]float64) {
	amount := make([]float64, len(m.Kinds))
	amount[kind] = 1 / m.Kinds[kind].share
	return m.meanStrain(amount)
}

// FlatLimit is how far a board may rise, mm per mm of its own length.
func FlatLimit() wood.Value {
	l := flatness.Default()
	return wood.Value{V: l.Gap, Source: l.Source, Status: wood.Status(l.Status), Note: "limit of a rise over its own length"}
}

// HeatFrom is the temperature [°C] from which heat takes of a bond.
func HeatFrom() float64 { return adhesive.HeatFrom() }

// Deep is the share of the thickness from which a check counts for the word.
func Deep() float64 { return layers.Default().Deep }
