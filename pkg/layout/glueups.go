package layout

import (
	"slices"
	"strconv"
)

// findGlueUps lists the glue-ups of the board in order and tells every joint in
// which of them it is made: in a stick of several woods, in a panel, between the
// rows of the field, or when a border goes on.
func (b *Board) findGlueUps() {
	index := map[string]int{}
	glue := func(id string, kind StageKind, panel, border int) {
		if _, known := index[id]; !known {
			index[id] = len(b.GlueUps)
			b.GlueUps = append(b.GlueUps, GlueUp{ID: id, Kind: kind, Panel: panel, Border: border})
		}
	}
	before := func(border int) { // the sticks and panels that go into the field or a border
		if b.Build == nil {
			return
		}
		var panels []int
		for _, s := range b.Build.Slices {
			if s.Border == border && s.Panel >= 0 && !slices.Contains(panels, s.Panel) {
				panels = append(panels, s.Panel)
			}
		}
		slices.Sort(panels)
		for _, p := range panels {
			for _, s := range b.Build.Panels[p].Sticks {
				if stick := &b.Build.Sticks[s]; len(stick.Parts) > 1 {
					glue("stick."+stick.Kind, StageStick, -1, -1)
				}
			}
		}
		for _, p := range panels {
			if len(b.Build.Panels[p].Sticks) > 1 {
				glue("panel."+b.Build.Panels[p].Key, StagePanel, p, -1)
			}
		}
	}
	before(-1)
	glue("field", StageField, -1, -1)
	for i := range b.Borders {
		before(i)
		glue(borderGlueUp(i), StageBorder, -1, i)
	}
	for i := range b.Joints {
		j := &b.Joints[i]
		j.GlueUp = index[b.gluedIn(&b.Pieces[j.A], &b.Pieces[j.B])]
		b.GlueUps[j.GlueUp].Joints = append(b.GlueUps[j.GlueUp].Joints, i)
	}
	for k := range b.GlueUps {
		s := &b.GlueUps[k]
		for i := range b.Pieces {
			if b.takesPart(&b.Pieces[i], s) {
				s.Pieces = append(s.Pieces, i)
			}
		}
	}
}

func borderGlueUp(i int) string { return "b" + strconv.Itoa(i+1) }

// gluedIn names the glue-up in which two neighbours are joined.
func (b *Board) gluedIn(p, q *Piece) string {
	switch {
	case p.Slice >= 0 && p.Slice == q.Slice && p.Stick == q.Stick:
		return "stick." + b.Build.Sticks[p.Stick].Kind
	case p.Slice >= 0 && p.Slice == q.Slice:
		return "panel." + b.Build.Panels[b.Build.Slices[p.Slice].Panel].Key
	case max(p.Border, q.Border) >= 0:
		return borderGlueUp(max(p.Border, q.Border))
	}
	return "field"
}

// takesPart reports whether a piece is in what a glue-up makes.
func (b *Board) takesPart(p *Piece, g *GlueUp) bool {
	switch g.Kind {
	case StageStick:
		return p.Stick >= 0 && "stick."+b.Build.Sticks[p.Stick].Kind == g.ID
	case StagePanel:
		return p.Slice >= 0 && b.Build.Slices[p.Slice].Panel == g.Panel
	}
	return p.Border <= g.Border // the field's is −1
}
