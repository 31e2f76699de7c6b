package layout

import (
	"fmt"
	"maps"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strict"
)

// StageKind is what a glue-up makes.
type StageKind string

// The kinds of glue-up, in the order in which they come.
const (
	StageStick  StageKind = "stick"  // sticks of several woods
	StagePanel  StageKind = "panel"  // sticks side by side
	StageField  StageKind = "field"  // rows, or all blocks at once
	StageBorder StageKind = "border" // one entry of the borders, and those glued on with it
)

// Stage is one glue-up of a board that is glued in stages. What is there when its glue
// has set are its pieces, in as many assemblies as they hang together in by joints of
// this stage and the ones before.
type Stage struct {
	ID      string // "field", "b1"
	Kind    StageKind
	Name    string  // in a maker's words: "the field", "border 1"
	Pointer string  // what of the file makes it
	Pieces  []int   // indices into Board.Pieces: all that is in the assemblies it makes
	Joints  []int   // indices into Board.Joints that are glued in it
	Side    float64 // mm between the faces of side grain that are open until the next glue-up; 0 once it is sliced: then it lies as on the board
	Rest    Rest    // between the glue-up before and this one, of what was glued then; none of the first
}

// Rest is what glued wood goes through, bare and with both faces free, before the next
// glue-up. In a file it stands with what is glued on after it.
type Rest struct {
	Days     float64            `json:"days,omitempty"`
	Air      *moisture.Room     `json:"air,omitempty"`      // nil: that of the shop at glue-up
	Moisture map[string]float64 `json:"moisture,omitempty"` // % MC by stock, as measured after it; other wood follows the air
}

func (r *Rest) clone() *Rest {
	if r == nil {
		return nil
	}
	return &Rest{r.Days, copied(r.Air), maps.Clone(r.Moisture)}
}

// mostRest is the longest rest between two glue-ups, days: wood has settled long before.
const mostRest = 3650.0

// rest checks the rest before a border.
func (r *layer) rest(pointer string, rest *Rest) {
	if rest == nil {
		return
	}
	if rest.Days == 0 && len(rest.Moisture) == 0 {
		r.add(fault.Fault{Rule: fault.MissingKey, Pointer: pointer, Detail: "a rest tells how long it is, or what was measured after it",
			Found: "neither", Allowed: "days above 0, or moisture by stock", Fix: "leave it out where the border is glued on at once"})
		return
	}
	r.number(pointer, "/days", rest.Days, strict.Between(0, mostRest, "days"))
	if rest.Air != nil {
		r.air(pointer+"/air", *rest.Air)
		if rest.Days == 0 {
			r.fault(fault.NotAllowed, pointer+"/air", "an air needs days in which the wood lies in it", "air beside days")
		}
	}
	for _, key := range slices.Sorted(maps.Keys(rest.Moisture)) {
		if at := under(pointer+"/moisture", key); r.stockKey(at, key) {
			r.number(at, "", rest.Moisture[key], moistureMC)
		}
	}
}

// stages tells the glue-ups of a board with a rest before its rows or a border are
// glued. What has none is glued on with what is there: nothing moves between the two.
func (r *layer) stages() {
	b := r.board
	panels := r.file.Field.Build != nil && r.file.Field.Build.Rest != nil
	if !r.faults.Empty() || !panels && !slices.ContainsFunc(r.file.Borders, func(e Edging) bool { return e.Rest != nil }) {
		return
	}
	last := len(b.Borders) - 1
	field := Stage{ID: "field", Kind: StageField, Name: "the field", Pointer: "/field"}
	if panels {
		rest := r.file.Field.Build.Rest
		b.Stages = append(b.Stages, r.panelStage())
		r.measured(buildPointer+"/rest", rest, b.Stages[0].Pieces)
		field.Pointer, field.Rest = buildPointer, *rest.clone()
	}
	b.Stages = append(b.Stages, field)
	from := -1 // the border that began the stage
	end := func(to int) {
		s := &b.Stages[len(b.Stages)-1]
		switch {
		case to == from+1:
			s.Name += fmt.Sprintf(" and border %d", to+1)
		case to > from:
			s.Name += fmt.Sprintf(" and borders %d to %d", from+2, to+1)
		}
		for i := range r.pieces {
			if r.pieces[i].Border <= to {
				s.Pieces = append(s.Pieces, i)
			}
		}
	}
	for i := range b.Borders {
		rest := r.file.Borders[i].Rest
		if rest == nil {
			continue
		}
		end(i - 1)
		r.measured(at("/borders", i)+"/rest", rest, b.Stages[len(b.Stages)-1].Pieces)
		from = i
		b.Stages = append(b.Stages, Stage{ID: fmt.Sprintf("b%d", i+1), Kind: StageBorder, Name: fmt.Sprintf("border %d", i+1), Pointer: at("/borders", i), Rest: *rest.clone()})
	}
	end(last)
}

// panelStage is the gluing of all panels of the field, which then rest before they
// are sliced; the thickest, whose faces are furthest apart, tells for all.
func (r *layer) panelStage() Stage {
	b := r.board.Build
	s := Stage{ID: "panels", Kind: StagePanel, Name: "the panels", Pointer: buildPointer + "/panels"}
	for i := range r.pieces {
		if p := &r.pieces[i]; p.Border < 0 && b.Slices[p.Slice].Panel >= 0 {
			s.Pieces = append(s.Pieces, i)
			s.Side = max(s.Side, b.Panels[b.Slices[p.Slice].Panel].Thickness)
		}
	}
	return s
}

// measured refuses a measurement of wood that is not glued in yet.
func (r *layer) measured(pointer string, rest *Rest, glued []int) {
	for _, key := range slices.Sorted(maps.Keys(rest.Moisture)) {
		of := func(i int) bool { return r.pieces[i].Stock == key }
		if slices.ContainsFunc(glued, of) || r.full() {
			continue
		}
		r.add(fault.Fault{Rule: fault.Construction, Pointer: under(pointer+"/moisture", key), Detail: fmt.Sprintf("no piece of stock %s is glued in yet when this is measured", shortened(key)),
			Found: shortened(key), Allowed: "a stock of what is glued already", Fix: "what wood has when it is glued in itself stands in its stock, or under pieces"})
	}
}

// joinStages gives every joint to the stage at which both its pieces are there.
func (b *Board) joinStages() {
	made := make([]int, len(b.Pieces))
	for k := len(b.Stages) - 1; k >= 0; k-- {
		for _, i := range b.Stages[k].Pieces {
			made[i] = k
		}
	}
	if len(b.Stages) == 0 {
		return
	}
	for j := range b.Joints {
		k := max(made[b.Joints[j].A], made[b.Joints[j].B])
		if b.Stages[k].Kind == StagePanel && b.GlueUps[b.Joints[j].GlueUp].Kind == StageField {
			k++ // the rows are apart in the panel
		}
		s := &b.Stages[k]
		s.Joints = append(s.Joints, j)
	}
}
