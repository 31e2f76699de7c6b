package answer

import (
	"context"
	"errors"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Memory keeps parts of solved boards between questions, for a design program
// asks about boards that differ in a piece or two. It may be shared; the answer
// does not depend on it. Nil remembers nothing.
type Memory struct{ start check.Conditions } // what every check starts from

// NewMemory makes a memory of at most the given size [bytes].
func NewMemory(bytes int64) *Memory {
	m := &Memory{}
	fresh(&m.start.Cache)
	fresh(&m.start.BendCache)
	m.start.Cache.MaxBytes, m.start.BendCache.MaxBytes = bytes/2, bytes/2
	return m
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
	model *check.Model
	cond  check.Conditions
}

func prepare(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*checked, error) {
	if err := q.check().Err(); err != nil {
		return nil, Parameters{err}
	}
	b, err := layout.Read(src)
	if err != nil {
		return nil, err
	}
	if err := q.checkAgainst(b).Err(); err != nil {
		return nil, Parameters{err}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c := &checked{board: b, cond: q.conditions(m)}
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
