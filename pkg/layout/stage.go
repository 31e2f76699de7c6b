package layout

import (
	"fmt"
	"maps"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// StageKind is what a glue-up makes.
type StageKind string

// The kinds of glue-up, in the order in which they come.
const (
	StageStick  StageKind = "stick"  // sticks of several woods
	StagePanel  StageKind = "panel"  // sticks side by side
	StageSlice  StageKind = "slice"  // nothing is glued: the saw opens the ends of the fibres
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
			Found: "0 days, nothing measured", Allowed: "days above 0, or moisture by stock", Fix: "leave it out where the border is glued on at once"})
		return
	}
	r.number(pointer, "/days", rest.Days, strictjson.Between(0, mostRest, "days"))
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
	shop := r.file.Field.Build.rests()
	if !r.faults.Empty() || len(shop) == 0 && !slices.ContainsFunc(r.file.Borders, func(e Edging) bool { return e.Rest != nil }) {
		return
	}
	last := len(b.Borders) - 1
	field := Stage{ID: "field", Kind: StageField, Name: "the field", Pointer: "/field"}
	if len(shop) > 0 {
		field.Pointer = buildPointer
		r.shopStages(shop, &field)
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

// shopRest is a rest that a build tells.
type shopRest struct {
	*Rest
	after   StageKind
	pointer string
}

// rests lists the rests of a build in order; none of no build.
func (f *BuildOrder) rests() []shopRest {
	if f == nil {
		return nil
	}
	all := []shopRest{{f.StickRest, StageStick, buildPointer + "/stick_rest"}, {f.Rest, StagePanel, buildPointer + "/rest"}, {f.SliceRest, StageSlice, buildPointer + "/slice_rest"}}
	return slices.DeleteFunc(all, func(s shopRest) bool { return s.Rest == nil })
}

// shopStages tells what is glued and sliced before the rows are: sticks and panels that
// rest, all of them at once. Each rest stands with the stage that follows it.
func (r *layer) shopStages(rests []shopRest, field *Stage) {
	b := r.board
	if n := len(rests); rests[n-1].after == StageSlice && (n == 1 || rests[n-2].after != StagePanel) {
		rests = slices.Insert(rests, n-1, shopRest{&Rest{}, StagePanel, buildPointer + "/rest"}) // sliced at once
	}
	for i, rest := range rests {
		s := r.shopStage(rest.after)
		if len(s.Pieces) == 0 {
			r.add(fault.Fault{Rule: fault.Construction, Pointer: rest.pointer, Detail: "there is nothing to rest: no stick of the field is glued of several woods",
				Found: "a rest", Allowed: "a rest of what is glued already", Fix: "leave it out"})
		}
		r.measured(rest.pointer, rest.Rest, s.Pieces)
		if i > 0 {
			s.Rest = *rests[i-1].clone()
		}
		b.Stages = append(b.Stages, s)
		if i+1 == len(rests) {
			field.Rest = *rest.clone()
		}
	}
}

// shopStage is the gluing of all sticks of several woods, of all panels, or the sawing
// of the slices. The thickest, whose faces are furthest apart, tells for all.
func (r *layer) shopStage(kind StageKind) Stage {
	b := r.board.Build
	s := Stage{ID: "sticks", Kind: kind, Name: "the sticks", Pointer: buildPointer + "/sticks"}
	switch kind {
	case StagePanel:
		s.ID, s.Name, s.Pointer = "panels", "the panels", buildPointer+"/panels"
	case StageSlice:
		s.ID, s.Name, s.Pointer = "slices", "the slices", buildPointer+"/slices"
	}
	for i := range r.pieces {
		p := &r.pieces[i]
		if p.Border >= 0 || b.Slices[p.Slice].Panel < 0 {
			continue
		}
		stick := &b.Sticks[p.Stick]
		switch {
		case kind == StageStick && len(stick.Parts) < 2:
			continue
		case kind == StageStick:
			s.Side = max(s.Side, min(stick.Width, stick.Height)) // all four sides are open
		case kind == StagePanel:
			s.Side = max(s.Side, b.Panels[b.Slices[p.Slice].Panel].Thickness)
		}
		s.Pieces = append(s.Pieces, i)
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

// joinStages gives every joint to the first stage that has its pieces and glues what it
// is glued in: a stick or a panel rests before its neighbours are glued to it.
func (b *Board) joinStages() {
	glues := map[StageKind]int{StageStick: 0, StagePanel: 1, StageField: 2, StageBorder: 3}
	for j := range b.Joints {
		in := b.GlueUps[b.Joints[j].GlueUp].Kind
		for k := range b.Stages {
			s := &b.Stages[k]
			rank, ok := glues[s.Kind]
			if s.Kind == StageField || s.Kind == StageBorder {
				rank = glues[StageBorder] // also the sticks and panels of a border go in with it
			}
			if ok && glues[in] <= rank && s.has(b.Joints[j].A) && s.has(b.Joints[j].B) {
				s.Joints = append(s.Joints, j)
				break
			}
		}
	}
}

// has tells whether a piece is in what a stage makes.
func (s *Stage) has(piece int) bool {
	_, ok := slices.BinarySearch(s.Pieces, piece) // they are in order
	return ok
}
