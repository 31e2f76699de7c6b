package wood

import (
	"io/fs"
	"math"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// Limits of the characteristic length [mm]. Shorter than two millimetres it falls
// within a growth ring, where wood is no continuum; longer than twelve it would
// average over a good part of a small block and hide a corner. Both limits only
// act where a figure is estimated or lies off the line, and the Value says so.
const (
	lengthLow  = 2.0
	lengthHigh = 12.0
)

type toughnessTable map[string]Value // mode I, TL system, by wood, MPa·√mm

// loadToughness reads fracture_toughness.csv and keeps the mode I values of the TL
// system: crack plane normal to T, running along L. It is the lowest system of the
// hardwoods in the review of Bartolucci et al. 2020, so the safe one; the RT values
// printed there are three times as high and not trusted.
func loadToughness(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) (toughnessTable, error) {
	rows, err := data.Read(files, "fracture_toughness.csv", "species", "property", "system", "value", "unit", "at_mc", "source", "status")
	if err != nil {
		return nil, err
	}
	t := make(toughnessTable)
	for _, r := range rows {
		v, err := readValue(r, r.Get("property"), sources)
		if err != nil {
			return nil, err
		}
		id := r.Get("species")
		if id == "" || r.Get("property") != "K_Ic" || r.Get("system") != "TL" {
			continue
		}
		if byID[id] == nil || t[id].Known {
			return nil, r.Errorf("wood %q is unknown or given twice", id)
		}
		t[id] = v
	}
	return t, nil
}

// buildToughness takes the printed toughness or the line through all printed TL
// values, K = 587·G^0.593 kPa√m (eight woods, standard deviation of ln K 0.24). A
// line through the three hardwoods alone would fall with density, against the
// finding of Ashby et al. 1985 that toughness rises with it, so it is not used.
func (s *Species) buildToughness(t toughnessTable, relations map[relationKey]relation) error {
	if v := t[s.ID]; v.Known {
		s.kic = v
		return nil
	}
	s.kic = relations[relationKey{"", "k_ic_tl"}].estimate(s.SG12, "line through the printed TL values")
	return nil
}

// Toughness returns the fracture toughness in mode I of the TL system, in
// MPa·√mm (1 MPa·√m = 31.62 MPa·√mm). It does not change between 10 and 20 % MC.
func (s *Species) Toughness() Value { return s.kic }

// CharacteristicLength returns the length [mm] over which joint tractions are
// averaged, d = (2/π)(K_Ic/f_t)². The mean stress ahead of a sharp crack over this
// length reaches f_t exactly when the crack runs; in a smooth bar the mean is the
// stress itself. So f_t must be the very strength the mean is compared with: the
// tension across the grain of Strength at 12 % MC. It is kept within 2 to 12 mm;
// the note says where a limit acted. An incomplete wood has none: 0 and the zero Value.
func (s *Species) CharacteristicLength() (float64, Value) {
	f := s.base.values["tension_perp"]
	if !f.Known || !s.kic.Known {
		return 0, Value{}
	}
	x := s.kic.V / f.V
	d := 2 / math.Pi * x * x
	v := Value{V: d, Known: true, AtMC: 12, Source: s.kic.Source, Status: worst(Derived, s.kic.Status, f.Status), Note: "from K_Ic (TL) and tension across the grain"}
	switch {
	case d < lengthLow:
		v.V, v.Note = lengthLow, v.Note+", raised to 2 mm"
	case d > lengthHigh:
		v.V, v.Note = lengthHigh, v.Note+", cut to 12 mm"
	}
	return v.V, v
}

// FractureEnergy returns the critical energy release rate in mode I of the TL
// system at 12 % MC [J/m², equal to N/m], from the toughness by the relation of
// Sih, Paris and Irwin 1965 for orthotropic plates. Direct work-of-fracture tests
// give two to four times as much, since fibres bridge the crack; this is the energy
// to start it.
func (s *Species) FractureEnergy() Value {
	e := s.elastic.at12
	if !s.kic.Known {
		return Value{}
	}
	k := s.kic.V / 31.622776601683793 // MPa·√m
	g := ReleaseRate(k, e.EL, e.ET, e.GLT, e.NuLT)
	return Value{V: g, Known: true, AtMC: 12, Source: s.kic.Source, Status: worst(Derived, s.kic.Status, e.Status["ET"], e.Status["GLT"]), Note: "Sih-Paris-Irwin from K_Ic (TL)"}
}

// ReleaseRate turns a mode I stress intensity k [MPa·√m] into the energy release
// rate [J/m²] of an orthotropic plate in plane stress. x is the direction the crack
// runs in, y the normal of its plane; moduli in MPa, nuXY the contraction in y
// under load in x (Sih, Paris, Irwin 1965):
//
//	G = K²·√(a11·a22/2)·√(√(a22/a11) + (2·a12+a66)/(2·a11))
func ReleaseRate(k, ex, ey, gxy, nuXY float64) float64 {
	a11, a22, a12, a66 := 1/ex, 1/ey, -nuXY/ex, 1/gxy
	// MPa²·m / MPa = MPa·m = 1e6 J/m²
	return 1e6 * k * k * math.Sqrt(a11*a22/2) * math.Sqrt(math.Sqrt(a22/a11)+(2*a12+a66)/(2*a11))
}
