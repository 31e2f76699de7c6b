package layout

import (
	"slices"

	"github.com/tanrad/tanrad/pkg/strictjson"
)

// isMotif reports whether an element of the pieces is a motif.
func (p *parser) isMotif(v strictjson.Value) bool {
	return v.Kind() == strictjson.Object && slices.ContainsFunc(v.Children(), func(c strictjson.Value) bool { return c.Key() == "motif" })
}

func (p *parser) motif(v strictjson.Value) FreePiece {
	m := v.Object("motif", "repeat")
	f := FreePiece{}
	for _, item := range list(m.Need("motif"), 1, -1) {
		f.Motif = append(f.Motif, p.freePiece(item))
	}
	for _, item := range list(m.Need("repeat"), 1, maxRepeats) {
		f.Repeat = append(f.Repeat, p.again(item))
	}
	return f
}

func (p *parser) again(v strictjson.Value) Again {
	m := v.Object("count", "step", "turn", "mirror", "about")
	a := Again{About: p.pair(m.Get("about"))}
	a.Count, _ = m.Need("count").Whole(1, maxRows)
	if step := p.pair(m.Need("step")); step != nil {
		a.Step = *step
	}
	if t := m.Get("turn"); t.Here() {
		a.Turn = p.number(t)
	}
	a.Mirror, _ = m.Get("mirror").Word(mirrors...)
	return a
}
