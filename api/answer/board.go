package answer

import (
	"context"
	"runtime"
	"slices"
	"time"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Memory keeps parts of solved boards between questions, for a design program
// asks about boards that differ in a piece or two, and bounds what a stranger may
// ask for. It may be shared; an answer does not depend on it. Nil remembers
// nothing, has no bounds but those of package layout, and takes all processors, for
// nobody else waits.
type Memory struct {
	start check.Conditions // what every check starts from
	drawn *check.Session   // boards that were solved; nil where none are held
	file  int64            // most bytes of an exported file, 0 without bounds

	longest time.Duration // that a check may take, see Within
}

// NewMemory makes a memory of at most so many bytes of parts and of whole solved
// boards, for boards whose solution takes at most the budget [bytes].
func NewMemory(parts, boards, budget int64) *Memory {
	m := &Memory{file: exportBytes, drawn: check.NewSession(boards)}
	m.start.Cache, m.start.Budget = check.NewCache(parts), budget
	return m
}

// Within makes the memory refuse boards that take longer to check, by an estimate from
// their size, in place of trying until time runs out; 0 refuses none.
func (m *Memory) Within(longest time.Duration) *Memory {
	m.longest = longest
	return m
}

// exportBytes is the longest file a service writes: more than any program reads
// with pleasure.
const exportBytes = 64 << 20

// conditions is what every check starts from.
func (m *Memory) conditions() check.Conditions {
	if m == nil {
		return check.Conditions{Workers: runtime.GOMAXPROCS(0)}
	}
	return m.start
}

// board checks a board with what is remembered.
func (m *Memory) board(ctx context.Context, b *layout.Board, c check.Conditions) (*check.Report, error) {
	if m == nil {
		return check.Board(ctx, b, c)
	}
	c.Longest = m.longest
	return m.drawn.Board(ctx, b, c)
}

// prepare prepares a board with what is remembered.
func (m *Memory) prepare(ctx context.Context, b *layout.Board, c check.Conditions) (*check.Prepared, error) {
	if m == nil {
		return check.Prepare(ctx, b, c)
	}
	return m.drawn.Prepare(ctx, b, c)
}

// Held is what the solved boards take that are held, bytes.
func (m *Memory) Held() int64 { return m.drawn.Bytes() }

// Question is a question about a board that has been read and found good; what
// it costs is still to be paid.
type Question struct {
	Quick bool // answered in a blink: an edit of a drawing
	ask   func(ctx context.Context) (any, error)
}

// Answer works the question out. Errors: faults of a board that is too large or
// cannot be solved, or that of the context.
func (q *Question) Answer(ctx context.Context) (any, error) { return q.ask(ctx) }

// Board answers a board file. The error is a fault.List, one in Parameters when
// the query is at fault, or that of the context.
func Board(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*layout.Board, *check.Report, error) {
	f, b, c, err := readFor(src, q, m)
	if err != nil {
		return nil, nil, err
	}
	b, r, err := check.File(ctx, f, b, c, check.Board)
	return b, r, sorted(err)
}

// AskBoard reads a board file for Board.
func AskBoard(src []byte, q BoardQuery, m *Memory) (*Question, error) {
	f, b, c, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	c.Joints = c.ByStress && c.Explain == "" && q.Only.below("joints")
	return &Question{quick(b, c), func(ctx context.Context) (any, error) {
		_, r, err := check.File(ctx, f, b, c, m.board)
		if err != nil {
			return nil, sorted(err)
		}
		if c.Joints {
			r = &check.Report{Joints: r.Joints} // encoding the rest takes as long as a tenth of the check
		}
		r.Joints = slices.DeleteFunc(r.Joints, func(j check.Joint) bool { return j.Utilisation < q.JointsAbove })
		out := Stamp(r)
		if q.Digits != nil {
			out.Told = *q.Digits
		}
		return out, nil
	}}, nil
}

// answered works a question out at once and gives its answer the type it has.
func answered[A any](ctx context.Context) func(*Question, error) (A, error) {
	return func(q *Question, err error) (a A, _ error) {
		if err != nil {
			return a, err
		}
		v, err := q.Answer(ctx)
		if err != nil {
			return a, err
		}
		return v.(A), nil
	}
}

// some keeps a nil pointer beside an error from becoming an answer.
func some[A any](a *A, err error) (any, error) {
	if err != nil {
		return nil, err
	}
	return a, nil
}

// quick tells whether a check is what a drawing asks at every edit.
func quick(b *layout.Board, c check.Conditions) bool {
	if !c.NoHistories || !c.NoCracks || !c.NoChance || c.Refine > 0 || len(b.Pieces) > quickPieces {
		return false
	}
	type kind struct {
		species  string
		up       bool
		moisture float64
	}
	kinds := map[kind]bool{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		kinds[kind{p.Species, p.Grain.Up, p.Moisture}] = true
	}
	return len(kinds) <= quickKinds && b.Width <= quickSide && b.Height <= quickSide
}

// What counts as quick.
const (
	quickPieces = 200
	quickKinds  = 32
	quickSide   = 1500 // mm
)

// sorted gives faults of a check that are of the query the places of parameters.
func sorted(err error) error {
	ofFile, ofQuery := apart(fault.Of(err))
	switch {
	case len(ofFile) > 0:
		return ofFile
	case len(ofQuery) > 0:
		return Parameters{ofQuery}
	}
	return err
}

// Parameters are faults of query parameters or flags, not of the body.
type Parameters struct{ error }

// ParameterFaults marks faults as those of parameters.
func ParameterFaults(l fault.List) error { return Parameters{l} }

// Unwrap gives the faults.
func (p Parameters) Unwrap() error { return p.error }
