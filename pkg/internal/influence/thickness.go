package influence

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/layers"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/wood"
)

// SurfaceCheck is how deep the wood of a kind opens from a face in a history.
type SurfaceCheck struct {
	Kind   int
	Piece  int     // of the kind, the one pulled hardest
	Fine   float64 // mm to which tension stands at strength: fine checks
	Depth  float64 // mm to which one of them runs by the energy it sets free; Fine at least
	Top    bool    // from the top face
	Hour   float64 // h, when it is deepest
	Closes bool    // the face was shut again after it had opened, when it was damp
}

// Index is its depth over the depth from which it counts for the word, in a board of
// a thickness [mm]; dimensionless.
func (s *SurfaceCheck) Index(thickness float64) float64 {
	return s.Depth / (layers.Default().Deep * thickness)
}

// Told says that it is deep enough to be told at all.
func (s *SurfaceCheck) Told() bool { return s.Depth >= layers.Default().Fine }

// faceStress is what stress through the thickness does to a crack from a face.
type faceStress struct {
	mean      float64 // MPa over the depth, of stress over the strength of each layer, at the strength of the mean moisture
	intensity float64 // MPa·√m
}

// thick is one kind of piece through its thickness over a history.
type thick struct {
	*layers.History
	section *layers.Section
	bound   [][]float64     // % MC per time and layer
	faces   [2]*layers.Face // bottom and top
	atFaces [2][]faceStress // per time and depth of the face
	pull    [3][]float64    // mean tension over strength over faceLayer at the bottom face, in the middle, at the top face
	check   SurfaceCheck

	atDeepest [2][]float64 // bound water [% MC] and stress [MPa] per layer when the check is deepest
}

// material is a kind's wood through the thickness, along the direction in which a
// face that is held back pulls hardest.
func (k *kind) material() *layers.Material {
	s := k.Species
	stiff := func(mc float64) float64 { f, _ := wood.MoistureFactor("moe_perp", mc); return f }
	c := layers.Default()
	m := &layers.Material{Modulus: k.surface.stress,
		Stiff: layers.TrendOf(func(mc float64) float64 { return stiff(mc) / stiff(k.Start) }),
		Tension: layers.TrendOf(func(mc float64) float64 {
			st := s.Strength(mc)
			return min(st.TensionR, st.TensionT)
		}),
		Yield:    layers.TrendOf(func(mc float64) float64 { return c.Yield * s.Strength(mc).CompressionPerp }),
		Sorption: c.Sorption}
	creep := relax.Typical.Series().Chain()
	for i, j := range creep.J {
		m.Creep = append(m.Creep, layers.Kelvin{Compliance: j / creep.J0, Reach: creep.Tau[i]})
	}
	return m
}

// splitting is what a check from a face meets: it runs along the fibres of end grain
// and across those of long grain, on the plane of the rays.
func (k *kind) splitting() layers.Toughness {
	e, err := k.Species.Elastic(k.Start)
	if err != nil {
		return layers.Toughness{Energy: math.Inf(1)} // translate has refused such wood
	}
	return layers.Toughness{Energy: k.Species.FractureEnergy(0).V, Release: func(intensity float64) float64 {
		if k.Up {
			return wood.ReleaseRate(intensity, e.EL, e.ET, e.GLT, e.NuLT)
		}
		return wood.ReleaseRate(intensity, e.ER, e.ET, e.GRT, e.NuRT)
	}}
}

// through follows a kind through its thickness.
func (m *Model) through(k int, h *moisture.History, cells *stack) *thick {
	kd := &m.Kinds[k]
	mat := kd.material()
	s := &layers.Section{Z: cells.middles(), Width: cells.width}
	fsp := kd.Species.FSP()
	bound := make([][]float64, len(h.Times))
	for t := range bound {
		bound[t] = make([]float64, len(h.Z))
		for i, v := range h.Profiles[t] {
			bound[t][i] = min(v, fsp)
		}
	}
	th := &thick{section: s, bound: bound, check: SurfaceCheck{Kind: k, Piece: kd.surface.piece}}
	tough := kd.splitting()
	for f := range th.faces {
		th.faces[f] = s.Face(f == 1)
		th.atFaces[f] = make([]faceStress, 0, len(h.Times)*len(th.faces[f].Depth))
	}
	over := make([]float64, len(h.Z))
	face := 0
	strength := make([]float64, len(h.Z))
	strong := func(bound []float64) {
		for i, w := range bound {
			strength[i] = mat.Tension.At(w)
		}
	}
	th.History = s.Watch(mat, h.Times, bound, func(hour float64, bound, stress []float64) {
		strong(bound)
		if c := s.Checks(stress, strength, tough); c.Depth > th.check.Depth {
			th.check.Fine, th.check.Depth, th.check.Top, th.check.Hour = c.Fine, c.Depth, c.Top, hour
			th.atDeepest = [2][]float64{slices.Clone(bound), slices.Clone(stress)}
			if face = 0; c.Top {
				face = len(h.Z) - 1
			}
		}
	})
	for t := range h.Times {
		strong(bound[t])
		for l, pull := range cells.faces(th.Stress[t]) {
			th.pull[l] = append(th.pull[l], pull/cells.faces(strength)[l])
		}
		whole := mat.Tension.At(h.Mean[t])
		for i := range over {
			over[i] = whole * th.Stress[t][i] / strength[i]
		}
		for f, face := range th.faces {
			for q := range face.Depth {
				th.atFaces[f] = append(th.atFaces[f], faceStress{face.Mean(q, over), face.Intensity(q, th.Stress[t])})
			}
		}
	}
	opened := false
	for t := range h.Times {
		opened = opened || th.Open[t][face] > 0
		th.check.Closes = th.check.Closes || opened && th.Open[t][face] == 0
	}
	return th
}
