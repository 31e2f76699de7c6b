package deck

import (
	"context"
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Case is one change of moisture of the whole board.
type Case struct {
	Name   string    // one word
	Text   string    // one line for a person
	Change []float64 // % MC per piece, from its moisture at gluing
}

// States lists the end states a case can be made of.
func States() []string { return []string{"driest-month", "dampest-month"} }

// AtState is the case of a board in balance with the driest or the dampest month
// of its home; changes in % MC as the wood moves, no stress relaxed. Errors: a
// fault.Fault for a name that is neither, those of the climate.
func AtState(ctx context.Context, m *check.Model, home, name string) (Case, error) {
	r, err := m.Report(ctx, check.Conditions{Home: home, Exposures: []string{check.NoExposures}, NoCracks: true})
	if err != nil {
		return Case{}, err
	}
	for _, s := range r.States {
		if s.Name != name {
			continue
		}
		c := Case{Name: name, Text: s.Text}
		for i := range m.Plate.Board.Pieces {
			pc := &m.Plate.Board.Pieces[i]
			c.Change = append(c.Change, s.Moisture[pc.Stock]-pc.Moisture)
		}
		return c, nil
	}
	return Case{}, fault.Fault{Rule: fault.NotOneOf, Pointer: "/state", Detail: "there is no such state", Found: name,
		Allowed: strings.Join(States(), ", "), Nearest: fault.Nearest(name, States(), 1)}
}

// Shift is the case in which every piece changes by the same amount, % MC.
func Shift(b *layout.Board, change float64) Case {
	c := Case{Name: "shift", Text: fmt.Sprintf("every piece %+g %% MC from its moisture at gluing", change), Change: make([]float64, len(b.Pieces))}
	for i := range c.Change {
		c.Change[i] = change
	}
	return c
}
