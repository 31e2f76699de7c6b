package arrange

import (
	"encoding/json"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Result is what a search found.
type Result struct {
	Before  Figure          `json:"before"`
	After   Figure          `json:"after"`
	Turns   []Turn          `json:"turns"`           // blocks that lie otherwise than in the file, in the order of the board
	Swaps   []Swap          `json:"swaps,omitempty"` // woods swapped
	Changed int             `json:"changed"`         // blocks, or strips of a sliced field, that lie otherwise
	End     string          `json:"end"`             // "done", "deadline", "cancelled"
	Trials  int             `json:"trials"`          // arrangements tried on sums of influences
	Solved  int             `json:"solved"`          // arrangements solved exactly
	Board   json.RawMessage `json:"board"`           // the board file of the better board
}

// Figure is the worst of the uniform end states.
type Figure struct {
	Utilisation float64       `json:"utilisation"`
	Verdict     check.Verdict `json:"verdict"`
	Joints      float64       `json:"joints"`  // worst of the glue lines alone
	Elastic     float64       `json:"elastic"` // with no relaxation
	State       string        `json:"state"`
	Worst       string        `json:"worst"` // joint or piece id
}

// Turn tells how one piece is put otherwise than in the file.
type Turn struct {
	Place string  `json:"place"`           // piece id of the place
	Piece string  `json:"piece,omitempty"` // id of the piece that goes there, when it is another
	Stock string  `json:"stock"`
	How   string  `json:"how"`      // "a quarter turn", "turned over", …
	Ring  float64 `json:"ring"`     // degrees, ring angle afterwards
	Was   float64 `json:"ring_was"` // degrees, of the same piece before
}

// Swap is a wood that takes another's part.
type Swap struct {
	From string `json:"from"`
	To   string `json:"to"`
}

func figureOf(b *layout.Board, w *influence.UniformWorst) Figure {
	f := Figure{Utilisation: w.Utilisation, Verdict: check.VerdictOf(w.Utilisation), Joints: w.OfJoints, Elastic: w.Elastic, State: w.State}
	switch {
	case w.Joint >= 0:
		f.Worst = b.Joints[w.Joint].ID
	case w.Piece >= 0:
		f.Worst = b.Pieces[w.Piece].ID
	}
	return f
}

func (h *search) result(end string) (*Result, error) {
	s, a := h.best.s, h.best.a
	b := s.boardOf(a)
	r := &Result{Before: figureOf(h.board, &h.first.worst), After: figureOf(b, &h.best.worst), Turns: []Turn{}, Swaps: h.swaps,
		Changed: s.changed(a), End: end, Trials: h.trials, Solved: h.exact}
	for place, id := range a {
		if id == s.of[place][0] {
			continue
		}
		v := &s.variants[id]
		t := Turn{Place: b.Pieces[place].ID, Stock: b.Pieces[place].Stock, How: v.pos.words(),
			Ring: round(b.Pieces[place].RingAngle), Was: round(s.board.Pieces[v.item].RingAngle)}
		if v.item != place {
			t.Piece = s.board.Pieces[v.item].ID
		}
		r.Turns = append(r.Turns, t)
	}
	src, err := layout.Write(b)
	r.Board = src
	return r, err
}

// round keeps angles readable: a thousandth of a degree is below any saw.
func round(v float64) float64 { return math.Round(v*1000) / 1000 }
