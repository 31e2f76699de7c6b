package deck

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Case is one change of moisture of the whole board.
type Case struct {
	Name   string    // one word
	Text   string    // one line for a person
	Change []float64 // of bound water, % MC per piece, from its moisture at gluing
}

// Prepare meshes a board and makes its equations. Errors: those of check.Prepare.
func Prepare(ctx context.Context, b *layout.Board, c check.Conditions) (*influence.Model, error) {
	return influence.Prepare(ctx, b, c.Solving())
}

// States lists the end states a case can be made of.
func States() []string { return []string{"driest-month", "dampest-month"} }

// AtState is the case of a board in balance with the driest or the dampest month
// of its home; changes in % MC as the wood moves, no stress relaxed. Errors: a
// fault for a name that is neither, those of the climate.
func AtState(m *influence.Model, home *moisture.Climate, name string) (Case, error) {
	ends, err := m.EndStates(&influence.Demand{Climate: home, NoHistories: true})
	if err != nil {
		return Case{}, err
	}
	for _, s := range ends {
		if s.Name != name {
			continue
		}
		c := Case{Name: name, Text: s.Text}
		if len(m.Board.Stages) > 0 {
			c.Text += "; glued in stages: what moved since the last glue-up, without the stress that earlier rests left"
		}
		change := make([]float64, len(m.Kinds))
		for k := range change {
			change[k] = m.Change(k, s.Moisture[k])
		}
		for i := range m.Board.Pieces {
			c.Change = append(c.Change, m.Of(change, i))
		}
		return c, nil
	}
	return Case{}, fault.List{{Rule: fault.NotOneOf, Pointer: "/state", Detail: "there is no such state", Found: name,
		Allowed: strings.Join(States(), ", "), Nearest: fault.Nearest(name, States(), 1)}}
}

// Shift is the case in which every piece changes by the same amount, % MC, as far
// as its wood swells. Errors: a fault where the driest piece would hold less
// than no water.
func Shift(b *layout.Board, change float64) (Case, error) {
	c := Case{Name: "shift", Text: fmt.Sprintf("every piece %+g %% MC from its moisture at gluing", change), Change: make([]float64, len(b.Pieces))}
	least := math.Inf(1)
	for i := range c.Change {
		pc := &b.Pieces[i]
		least = math.Min(least, pc.Moisture)
		var err error
		if c.Change[i], err = boundChange(pc, pc.Moisture+change); err != nil {
			return Case{}, err
		}
	}
	if least+change < 0 {
		return Case{}, fault.List{{Rule: fault.OutOfRange, Pointer: "/change", Detail: "the driest piece would hold less than no water",
			Found: fmt.Sprintf("%+g", change), Allowed: fmt.Sprintf("%+g and up", -least)}}
	}
	return c, nil
}

// boundChange is the change of what swells a piece, % MC from gluing to a moisture:
// none of it lies above fibre saturation.
func boundChange(pc *layout.Piece, mc float64) (float64, error) {
	s, err := wood.Find(pc.Species)
	if err != nil {
		return 0, err
	}
	return s.BoundWater(mc) - s.BoundWater(pc.Moisture), nil
}
