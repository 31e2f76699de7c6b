package answer

import (
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Memory keeps parts of solved boards between questions, for a design program
// asks about boards that differ in a piece or two, and bounds what a stranger may
// ask for. It may be shared; an answer does not depend on it. Nil remembers
// nothing and has no bounds but those of package layout.
type Memory struct {
	start  check.Conditions // what every check starts from
	pieces int              // most pieces, each halving of the elements counted as four times as many
}

// NewMemory makes a memory of at most the given size [bytes] for boards of at
// most so many pieces.
func NewMemory(bytes int64, pieces int) *Memory {
	m := &Memory{pieces: pieces}
	m.start.Cache = check.NewCache(bytes)
	return m
}

// read reads a board file within the bounds. The error is a fault.List.
func (m *Memory) read(src []byte) (*layout.File, *layout.Board, error) {
	if m == nil {
		return layout.Open(src, layout.Limits{})
	}
	return layout.Open(src, layout.Limits{Pieces: m.pieces})
}

// tooFine gives the fault of elements halved more often than the bounds allow
// for a board of this size.
func (m *Memory) tooFine(b *layout.Board, refine int) fault.List {
	if m == nil || refine <= 0 {
		return nil
	}
	finest := 0
	for len(b.Pieces)<<(2*(finest+1)) <= m.pieces {
		finest++
	}
	if refine <= finest {
		return nil
	}
	return fault.List{{Rule: fault.TooLarge, Pointer: "/refine", Detail: fmt.Sprintf("a board of %d pieces is too large for elements that fine", len(b.Pieces)),
		Found: fmt.Sprint(refine), Allowed: fmt.Sprintf("0 to %d", finest)}}
}

// Board answers a board file. The error is a fault.List, one in Parameters when
// the query is at fault, or that of the context.
func Board(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*layout.Board, *check.Report, error) {
	_, b, c, err := readFor(src, q, m)
	if err != nil {
		return nil, nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	r, err := check.Board(ctx, b, c)
	return b, r, err
}

// Parameters are faults of query parameters or flags, not of the body.
type Parameters struct{ error }

// Unwrap gives the faults.
func (p Parameters) Unwrap() error { return p.error }
