package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/window"
)

// Brief is what a maker is told in a page beside the report of a board: what helps
// most, and the air in which the board may live.
type Brief struct {
	Advice *advice.Advice
	Air    window.HumidityWindow
}

// Told answers a board file as a maker reads it: what happens to the board at once, and
// what helps when it is asked for, which takes several checks more. Errors of both: those
// of Board.
func Told(ctx context.Context, src []byte, q BoardQuery) (*layout.Board, *check.Report, func() (*Brief, error), error) {
	f, b, c, err := readFor(src, q, nil)
	if err != nil {
		return nil, nil, nil, err
	}
	c.Remember()
	drawn, err := c.Draw(ctx, f, b)
	if err != nil {
		return nil, nil, nil, sorted(err)
	}
	r, err := drawn.Report(ctx, c, check.Board)
	if err != nil {
		return nil, nil, nil, sorted(err)
	}
	b = drawn.Typical.Board
	return b, r, func() (t *Brief, err error) {
		t = &Brief{}
		if t.Air, err = window.Air(ctx, drawn, c); err != nil {
			return nil, sorted(err)
		}
		if r.Rings != nil {
			return t, nil // what to do is to look at the rings
		}
		if t.Advice, err = advice.Quick(ctx, f, b, c, r.Figure()); err != nil {
			return nil, sorted(err)
		}
		return t, nil
	}, nil
}
