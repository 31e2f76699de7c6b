package field

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Shape is a board as it lies at one moment, beside its pieces as they would be
// if no glue held them.
type Shape struct {
	State  string       `json:"state"` // name of the end state or exposure
	Hour   float64      `json:"hour"`  // h from the start of the exposure, 0 for an end state
	Text   string       `json:"text"`  // in words
	Pieces []PieceShape `json:"pieces"`
	Joints []JointState `json:"joints,omitempty"` // of an end state
}

// PieceShape is one piece: the outline as glued and as it has moved, mm, point
// for point, and the strain it would have by itself.
type PieceShape struct {
	ID     string      `json:"id"`
	Change float64     `json:"change"` // % MC of bound water since gluing, mean over the thickness
	Free   FreeStrain  `json:"free"`
	From   []layout.XY `json:"from"`
	To     []layout.XY `json:"to"`
}

// FreeStrain is how a piece swells by itself, dimensionless, at its centre.
type FreeStrain struct {
	XX float64 `json:"xx"`
	YY float64 `json:"yy"`
	XY float64 `json:"xy"` // engineering shear
}

// JointState is the answer for one glue line in one end state alone.
type JointState struct {
	ID          string       `json:"id"`
	Utilisation float64      `json:"utilisation"`
	Verdict     verdict.Word `json:"verdict"` // package check says it
}

// Shape gives the board at the moment that Instant finds by the same name and
// hour [h]; outlines are in mm. Errors: those of Instant.
func (m Board) Shape(ctx context.Context, d *influence.Demand, name string, hour float64) (*Shape, error) {
	i, err := m.Instant(ctx, d, name, hour)
	if err != nil {
		return nil, err
	}
	s := &Shape{State: i.Name, Hour: i.Hour, Text: i.Text, Pieces: make([]PieceShape, len(m.Board.Pieces))}
	if i.When != "" {
		s.Text = i.When
	}
	from, to := m.Outlines(i)
	for p := range s.Pieces {
		f := m.Free(p, i)
		s.Pieces[p] = PieceShape{ID: m.Board.Pieces[p].ID, Change: m.Of(i.swelling.Mean, p), Free: FreeStrain{f[0], f[1], f[2]}, From: from[p], To: to[p]}
	}
	if i.end == nil {
		return s, nil
	}
	us, err := m.JointsIn(ctx, *i.end)
	if err != nil {
		return nil, err
	}
	for j, u := range us {
		s.Joints = append(s.Joints, JointState{ID: m.Board.Joints[j].ID, Utilisation: u})
	}
	return s, nil
}

// Free is the strain that a piece would have at an instant if nothing held it,
// dimensionless: along x, along y, and engineering shear, at its centre.
func (m Board) Free(piece int, i *Instant) [3]float64 {
	f := m.Wood[piece].Unit
	for k := range f {
		f[k] *= m.Of(i.swelling.Mean, piece)
	}
	return f
}
