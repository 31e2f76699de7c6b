package answer

import (
	"context"
	"errors"
	"fmt"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
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
	fresh(&m.start.Cache)
	fresh(&m.start.BendCache)
	m.start.Cache.MaxBytes, m.start.BendCache.MaxBytes = bytes/2, bytes/2
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

func fresh[T any](p **T) { *p = new(T) }

// Board answers a board file. The error is a fault.List, one in Parameters when
// the query is at fault, or that of the context.
func Board(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*layout.Board, *check.Report, error) {
	c, err := prepare(ctx, src, q, m)
	if err != nil {
		return nil, nil, err
	}
	report, err := c.report(ctx)
	if err != nil {
		return nil, nil, err
	}
	return c.board, report, nil
}

// checked is a board prepared for questions.
type checked struct {
	board *layout.Board
	model *check.Prepared
	cond  check.Conditions
}

func prepare(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*checked, error) {
	_, b, cond, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c := &checked{board: b, cond: cond}
	if c.model, err = check.Prepare(ctx, b, c.cond); err != nil {
		return nil, err
	}
	return c, nil
}

func (c *checked) report(ctx context.Context) (*check.Report, error) {
	report, err := c.model.Report(ctx, c.cond)
	if err != nil {
		return nil, err
	}
	if longest := longestOf(report.Exposures); longest != nil && longest.Responses == nil {
		if longest.Responses, err = c.model.Responses(ctx); err != nil {
			return nil, err
		}
	}
	if len(report.Safety) == 0 {
		report.Safety = cautions(c.board)
	}
	fillLists(report)
	return report, nil
}

// longestOf is the exposure that tells of slow pieces, nil when there is none.
func longestOf(list []check.Exposure) *check.Exposure {
	var longest *check.Exposure
	for i := range list {
		if longest == nil || list[i].Hours > longest.Hours {
			longest = &list[i]
		}
	}
	return longest
}

// fillLists turns lists that are missing into empty ones: a reader of JSON
// should not have to ask for null.
func fillLists(r *check.Report) {
	fill(&r.States)
	fill(&r.Joints)
	fill(&r.GlueUp)
	fill(&r.Notes.Estimated)
	fill(&r.Notes.Assumptions)
	fill(&r.Notes.NotModelled)
	if r.Chance != nil {
		fill(&r.Chance.Contribution)
	}
}

func fill[T any](list *[]T) {
	if *list == nil {
		*list = []T{}
	}
}

// Parameters are faults of query parameters or flags, not of the body.
type Parameters struct{ error }

// Unwrap gives the faults.
func (p Parameters) Unwrap() error { return p.error }

// cautions gives the reminders that go with the woods of a board.
func cautions(b *layout.Board) []check.Caution {
	var woods []*wood.Species
	for _, p := range b.Pieces {
		if s, err := wood.Find(p.Species); err == nil {
			woods = append(woods, s)
		}
	}
	var out []check.Caution
	for _, c := range safety.For(woods...) {
		out = append(out, check.Caution{Topic: c.Topic, Text: c.Text, Source: c.Source})
	}
	return out
}

// single gives the one fault an error holds a pointer; an error that holds none
// becomes a fault that tells no more than where it came up.
func single(err error, pointer string) fault.Fault {
	var one fault.Fault
	if !errors.As(err, &one) {
		one = fault.Fault{Rule: fault.OutOfRange, Detail: "the value cannot be used"}
	}
	one.Pointer = pointer
	return one
}
