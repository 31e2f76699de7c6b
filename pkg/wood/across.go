package wood

import (
	"io/fs"
	"math"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// judgements are the figures of strength_judgements.csv by key.
type judgements map[string]Value

func loadJudgements(files fs.FS, sources map[string]source.Citation) (judgements, error) {
	return loadKeyed(files, "strength_judgements.csv", sources, "rolling-hardwood", "rolling-softwood", "green-to-12", "fracture-density", "fracture-sliding", "fracture-mix")
}

// loadGeneral reads what holds for every wood.
func loadGeneral(files fs.FS, sources map[string]source.Citation) (judgements, error) {
	return loadKeyed(files, "wood_general.csv", sources, "longitudinal-shrinkage", "shear-in-bending", "trend-low", "trend-high", "disagreement", "flat-sawn-pith", "flat-sawn-width")
}

// loadKeyed reads a table of figures by key, which must all be there.
func loadKeyed(files fs.FS, table string, sources map[string]source.Citation, keys ...string) (judgements, error) {
	rows, err := data.Read(files, table, "key", "value", "unit", "lo", "hi", "source", "status", "note")
	if err != nil {
		return nil, err
	}
	out := make(judgements, len(rows))
	for _, r := range rows {
		v, err := readValue(r, r.Get("key"), sources)
		if err != nil {
			return nil, err
		}
		out[r.Get("key")] = v
	}
	for _, key := range keys {
		if !out[key].Known {
			return nil, rows[0].Errorf("no figure %q", key)
		}
	}
	return out, nil
}

// pull is the tension across the grain of green wood, MPa: along R (which parts it
// on a plane along the rings) and along T (which parts it along the rays).
type pull struct{ r, t Value }

// loadPulls reads the woods that were tested along R and T apart.
func loadPulls(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) (map[string]pull, error) {
	rows, err := data.Read(files, "tension_across.csv", "species", "pull", "value", "unit", "source", "status", "note")
	if err != nil {
		return nil, err
	}
	out := make(map[string]pull)
	for _, r := range rows {
		v, err := readValue(r, "tension", sources)
		if err != nil {
			return nil, err
		}
		id := r.Get("species")
		if _, err := woodOf(r, byID); err != nil {
			return nil, err
		}
		p := out[id]
		into := map[string]*Value{"R": &p.r, "T": &p.t}[r.Get("pull")]
		if into == nil || into.Known {
			return nil, r.Errorf("pull %q is neither R nor T, or given twice", r.Get("pull"))
		}
		*into = v
		out[id] = p
	}
	for id, p := range out {
		if !p.r.Known || !p.t.Known {
			return nil, rows[0].Errorf("%s is pulled one way only", id)
		}
	}
	return out, nil
}

// dry is the mean of both pulls brought from green to 12 % MC.
func (p pull) dry(j judgements) Value {
	f := j["green-to-12"]
	mean := (p.r.V + p.t.V) / 2
	return Value{V: mean * f.V, Known: true, Lo: mean * f.Lo, Hi: mean * f.Hi, AtMC: 12, Source: p.r.Source,
		Status: worst(Derived, p.r.Status, p.t.Status, f.Status), Note: "green wood brought to 12 % moisture"}
}

// along parts a mean of R and T as the pulls of green wood have it.
func (p pull) along(mean Value, v float64) Value {
	f := 2 * v / (p.r.V + p.t.V)
	return Value{V: mean.V * f, Known: true, Lo: mean.Lo * f, Hi: mean.Hi * f, AtMC: 12, Source: p.r.Source,
		Status: worst(Derived, p.r.Status, p.t.Status, mean.Status), Note: "mean of both directions, parted as in green wood"}
}

// FlatSawnPith is how far from the middle of a flat-sawn plank of some width [mm] the
// pith of its log is taken to lie where nobody told it [mm], and the least of that.
func FlatSawnPith(width float64) (at, least float64) {
	of := embedded().flatSawn
	return math.Max(of[0], of[1]*width), of[0]
}
