package movement

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Range the handbook's authors give for the coefficient form, % MC.
const (
	coefficientFrom = 6.0
	coefficientTo   = 14.0
)

// warnings says in plain words where the numbers of a derivation are weak.
func (w *working) warnings() []string {
	out := []string{}
	outside := func(m float64) bool { return m < coefficientFrom || m > coefficientTo }
	if w.form == Coefficient && w.dimension != Length && (outside(w.m0) || outside(w.m1)) {
		out = append(out, fmt.Sprintf("the coefficient form is given for %g to %g %% MC; %.1f to %.1f %% reaches outside it, use the total form",
			coefficientFrom, coefficientTo, w.m0, w.m1))
	}
	if fsp := w.species.FSP(); w.m0 > fsp || w.m1 > fsp {
		out = append(out, fmt.Sprintf("wood does not move above its fibre saturation point; moisture is counted up to %g %% only", fsp))
	}
	if fsp := w.species.FSP(); fsp != wood.NominalFSP && w.dimension != Length {
		out = append(out, fmt.Sprintf("the law of this wood is taken to end at %g %% MC, not at the nominal %g %%", fsp, float64(wood.NominalFSP)))
	}
	if w.dimension == Length {
		out = append(out, "straight-grained wood only; juvenile, reaction or curly wood moves far more along its length")
	}
	for _, s := range w.steps {
		for _, in := range s.Inputs {
			switch wood.Status(in.Status) {
			case "memory":
				out = append(out, fmt.Sprintf("%s = %g is quoted from memory of its source, not checked against the print", in.Symbol, in.Value))
			case "estimated":
				out = append(out, fmt.Sprintf("%s = %g is estimated", in.Symbol, in.Value))
			}
		}
	}
	return out
}
