package wood

import (
	"io/fs"
	"math"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
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

// Toughness returns the printed fracture toughness in mode I of the TL system, in
// MPa·√mm (1 MPa·√m = 31.62 MPa·√mm); not known for most woods. It does not change
// between 10 and 20 % MC.
func (s *Species) Toughness() Value { return s.kic }

// fracture is what it takes to part wood along its fibres, J/m².
type fracture struct {
	open   Value
	slide  float64 // energy to slide over energy to open
	mix    float64 // exponent of the mixed-mode law
	lo, hi float64 // shares of a value at the ends of its range
}

// loadOpening reads the energies to open a crack that were measured themselves.
func loadOpening(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) (map[string]Value, error) {
	rows, err := data.Read(files, "fracture_toughness.csv", "species", "property", "system", "value", "unit", "source", "status")
	if err != nil {
		return nil, err
	}
	out := make(map[string]Value)
	for _, r := range rows {
		id := r.Get("species")
		if r.Get("property") != "G_Ic" {
			continue
		}
		v, err := readValue(r, "G_Ic", sources)
		if err != nil {
			return nil, err
		}
		if byID[id] == nil || out[id].Known || r.Get("unit") != "J/m2" {
			return nil, r.Errorf("G_Ic of %q: the wood is unknown, or given twice, or the unit is not J/m2", id)
		}
		out[id] = v
	}
	return out, nil
}

// buildFracture takes the energy to open a crack along the grain as the largest of
// three: a measured one; that of the printed K_Ic; and one in proportion to density,
// 300 J/m² at a specific gravity of 0.6. The printed K_Ic start a crack from a saw
// cut; with the fibres that bridge it, two to four times their energy was measured
// (beech 460, birch 656, spruce 221 J/m²).
func (s *Species) buildFracture(measured Value, j judgements) {
	density := j["fracture-density"]
	v := Value{V: density.V * s.SG12.V, Known: true, AtMC: 12, Source: density.Source, Status: Estimated, Note: "in proportion to specific gravity"}
	for _, own := range []Value{s.printedEnergy(), measured} {
		if own.Known && own.V > v.V {
			v = own
		}
	}
	f := fracture{open: v, slide: j["fracture-sliding"].V, mix: j["fracture-mix"].V, lo: density.Lo / density.V, hi: density.Hi / density.V}
	f.open.Lo, f.open.Hi = f.lo*v.V, f.hi*v.V
	s.fracture = f
}

// printedEnergy is the energy that the toughness means, by the relation of Sih,
// Paris and Irwin 1965 for orthotropic plates.
func (s *Species) printedEnergy() Value {
	e := s.elastic.at12
	if !s.kic.Known {
		return Value{}
	}
	k := s.kic.V / 31.622776601683793 // MPa·√m
	return Value{V: ReleaseRate(k, e.EL, e.ET, e.GLT, e.NuLT), Known: true, AtMC: 12, Source: s.kic.Source,
		Status: worst(Derived, s.kic.Status, e.Status["ET"], e.Status["GLT"]), Note: "Sih-Paris-Irwin from K_Ic (TL)"}
}

// FractureEnergy returns the energy [J/m²] that a crack along the grain takes to
// run, on a plane that holds the fibres, at 12 % MC. sliding is the share of the
// energy set free that comes from sliding, 0 to 1:
//
//	G_c = G_I + (G_II − G_I)·sliding^1.5,  G_II = 3·G_I.
//
// The range is ±40 %. An incomplete wood has none: the zero Value.
func (s *Species) FractureEnergy(sliding float64) Value {
	v := s.fracture.open
	f := 1 + (s.fracture.slide-1)*math.Pow(max(0, min(1, sliding)), s.fracture.mix)
	v.V, v.Lo, v.Hi = f*v.V, f*v.Lo, f*v.Hi
	if sliding > 0 {
		v.Status, v.Note = worst(v.Status, Estimated), v.Note+"; mixed mode"
	}
	return v
}

// MixExponent is the exponent of the mixed-mode law of FractureEnergy, a ratio.
func (s *Species) MixExponent() float64 { return s.fracture.mix }

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
