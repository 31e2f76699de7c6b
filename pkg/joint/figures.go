package joint

import (
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// figures are the judgements of data/joint.csv by key.
var figures = sync.OnceValue(func() map[string]wood.Value {
	out := map[string]wood.Value{}
	for key, r := range data.Keyed("joint.csv", "value", "unit", "lo", "hi", "source", "status", "note") {
		out[key] = wood.Value{Known: true, V: r.Number("value"), Lo: r.Optional("lo"), Hi: r.Optional("hi"), Source: r.Get("source"), Status: wood.Status(r.Get("status")), Note: r.Get("note")}
	}
	return out
})

// GluingFactor scales the bond by the ease of gluing of a wood: "easily",
// "well", "satisfactorily", "with-difficulty" (classes of the Wood Handbook,
// FPL-GTR-190, Table 10-1), anything else is a class not published. The factors
// are those of data/joint.csv.
func GluingFactor(class string) float64 {
	if f, ok := figures()["gluing-"+class]; ok {
		return f.V
	}
	return figures()["gluing-unpublished"].V
}

// AveragingLength is the length [mm] over which tractions and stresses are
// averaged before they are judged, with its range: the same for every wood, so
// that a stronger or tougher wood is never judged more harshly.
func AveragingLength() wood.Value { return figures()["averaging-length"] }

// EndShare is the share of its strength that a bond of long grain has at its end at the
// rim of a board, and EndLength how far it is so weak [mm].
func EndShare() wood.Value { return figures()["end-share"] }

// EndLength: see EndShare.
func EndLength() wood.Value { return figures()["end-length"] }
