package arrange

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Result is what a search found. Before and After are the figures of a check
// under the conditions asked for.
type Result struct {
	Before    check.Figure    `json:"before"`
	After     check.Figure    `json:"after"`
	LookedAt  []string        `json:"looked_at"`           // end states and exposures that both figures are of
	Surrogate string          `json:"surrogate,omitempty"` // what the search went by between them, where that is less
	Turns     []Turn          `json:"turns"`               // what lies otherwise than in the file, in the order of the board
	Steps     []Step          `json:"steps,omitempty"`     // what else is done otherwise in a build, before its sticks are turned
	Swaps     []Swap          `json:"swaps,omitempty"`     // woods swapped
	Glued     []string        `json:"glued,omitempty"`     // glue-ups that are done: what is in them stays
	Changed   int             `json:"changed"`             // actions: the entries of Turns and Steps
	End       string          `json:"end"`                 // "done", "deadline", "cancelled"
	Trials    int             `json:"trials"`              // arrangements tried on sums of influences
	Solved    int             `json:"solved"`              // arrangements solved exactly
	Board     json.RawMessage `json:"board"`               // the board file of the better board
	File      *layout.File    `json:"-"`                   // the same

	Cautions []safety.Caution `json:"cautions"` // blocks that are turned are planed anew
}

// What a maker turns.
const (
	Block = "block"
	Strip = "strip" // of a panel, before it is glued and crosscut
	Stick = "stick" // glued of triangles: one cell of a grid of tiles
	Part  = "part"  // of such sticks, before they are glued: one triangle of every cell with that tile
	// PanelStick is a stick of a panel of a build, before the panel is glued and crosscut.
	PanelStick = "panel-stick"
)

// Turn tells how one block, or what else a maker turns, is put otherwise than in
// the file.
type Turn struct {
	Unit   string   `json:"unit"`            // Block, Strip, Stick, Part or PanelStick
	Place  string   `json:"place"`           // piece id of a block's place; "strip 3", from the left of the first slice; cell of a stick; "A.3", third stick of panel A; "part x.n", triangle n of tile x
	Pieces []string `json:"pieces"`          // ids of the places it fills: of a strip all that is cut from it
	Piece  string   `json:"piece,omitempty"` // id of the block that goes there, when it is another
	Stock  string   `json:"stock"`
	How    string   `json:"how"`          // "a quarter turn", "turned over", …
	Of     int      `json:"of,omitempty"` // of a stick: how many its panel has
	Ring   float64  `json:"ring"`         // degrees, −90 to 90, axis of the rings afterwards, of a strip in the first slice
	Was    float64  `json:"ring_was"`     // degrees, −90 to 90, of the same piece before
}

// Swap is a wood that takes another's part.
type Swap struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// The surrogates of the search.
const (
	stressOnly  = "stress only; the best is judged in full"
	settledOnly = "settled end states, stress only; the best of each round with its exposures, at last in full"
)

func (h *search) result(end string) (*Result, error) {
	s, a := h.kept.s, h.kept.a
	f := s.fileOf(a)
	b, faults := f.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	r := &Result{Before: h.before, After: h.after, LookedAt: h.before.LookedAt, Turns: s.turns(a, b), Steps: s.work.steps(s.origin), Swaps: s.swaps, Glued: h.o.Glued,
		End: end, Trials: h.trials, Solved: h.exact}
	r.Changed = len(r.Turns) + len(r.Steps)
	r.Cautions = CautionsOf(b)
	switch {
	case len(r.LookedAt) > s.states:
		r.Surrogate = settledOnly
	case !h.asked.ByStress:
		r.Surrogate = stressOnly
	}
	r.File, r.Board = f, f.JSON()
	return r, nil
}

// CautionsOf gives what to mind in the shop with the woods of a board.
func CautionsOf(b *layout.Board) []safety.Caution {
	var woods []*wood.Species
	for _, id := range SpeciesOf(b) {
		if w, err := wood.Find(id); err == nil {
			woods = append(woods, w)
		}
	}
	return safety.For(woods...)
}

// turns lists the units that do not lie as the file has them; b is the board of
// the arrangement.
func (s *space) turns(a arrangement, b *layout.Board) []Turn {
	out := []Turn{}
	told := make([]bool, len(s.units))
	for place, id := range a {
		if id == s.of[place][0] || told[s.unitOf[place]] {
			continue
		}
		un := &s.units[s.unitOf[place]]
		told[s.unitOf[place]] = true
		v := &s.variants[id]
		t := Turn{Unit: un.unit, Place: un.name, Stock: b.Pieces[place].Stock, How: v.pos.words(),
			Ring: axis(b.Pieces[place].RingAngle), Was: axis(s.board.Pieces[v.item].RingAngle)}
		for _, p := range un.places {
			t.Pieces = append(t.Pieces, b.Pieces[p].ID)
		}
		if v.item != place && un.unit == Block {
			t.Piece = s.board.Pieces[v.item].ID
		}
		switch un.unit {
		case Strip:
			t.How = v.pos.stripWords()
		case PanelStick:
			t.Of = len(s.board.Build.Panels[s.board.Build.Sticks[s.board.Pieces[place].Stick].Panel].Sticks)
			t.How = v.pos.onPanel(&s.board.Build.Slices[s.board.Pieces[place].Slice]).stripWords()
		case Part: // of a section that is its own mirror image
			t.How = "turned end for end"
		}
		out = append(out, t)
	}
	return out
}

// axis tells a ring angle to a tenth of a degree, finer than any saw. Straight
// rings are an axis, the same at θ and θ+180.
func axis(v float64) float64 {
	return layout.Axis(math.Round(layout.Axis(v)*10)/10) + 0 // no −0
}

// strips is where the strips of a sliced field stand in a board file.
const strips = "/field/slices/strips/"

// stripNumber reads the strip, from 0, that a piece of a sliced field was cut
// from out of its place in the file.
func stripNumber(pointer string) (int, bool) {
	text, ok := strings.CutPrefix(pointer, strips)
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	return n, err == nil
}
