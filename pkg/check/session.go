package check

import (
	"context"
	"reflect"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Session checks boards that are changed step by step, as somebody draws them, and
// works out anew only what a step touches. A board with another home, finish or list
// of exposures, or under other conditions, keeps everything that was solved and the
// splits that were laid; one with a piece turned or another wood keeps the clusters of
// the solver away from it. Answers are those of Board, to the last digit that is told.
//
// It holds solved boards within a number of bytes, those asked for last. It is safe
// for concurrent use.
type Session struct {
	most int64
	mu   sync.Mutex
	held []*heldBoard // the last one first
	last [2]*judged   // with histories and without
}

// judged is the board that was asked about last, with all that was asked of it: what is
// derived of it then needs no judging again. It takes little beside a solved board.
type judged struct {
	mu     sync.Mutex // one report at a time
	p      *Prepared
	j      *influence.Judged
	demand *influence.Demand
}

// recall gives the last judgement where the same is asked of the same board, nil where not.
func (s *Session) recall(b *layout.Board, c Conditions) *judged {
	s.mu.Lock()
	k := s.last[lastOf(c)]
	s.mu.Unlock()
	if k == nil || !k.p.m.SolvedAs(c.Solving()) || !reflect.DeepEqual(k.demand, c.Demand()) || !reflect.DeepEqual(k.p.m.Board, b) {
		return nil
	}
	return k
}

// lastOf is the place of a judgement among the last ones.
func lastOf(c Conditions) int {
	if c.NoHistories {
		return 1
	}
	return 0
}

// heldBoard is a prepared board with what it takes.
type heldBoard struct {
	p     *Prepared
	bytes int64
}

// NewSession makes a session that holds at most so many bytes of solved boards.
func NewSession(bytes int64) *Session { return &Session{most: bytes} }

// Board is Board, on what the session holds. Conditions should share one Cache.
func (s *Session) Board(ctx context.Context, b *layout.Board, c Conditions) (*Report, error) {
	if err := c.Check(b).Err(); err != nil {
		return nil, err
	}
	k := s.recall(b, c)
	if k == nil {
		p, err := s.Prepare(ctx, b, c)
		if err != nil {
			return nil, err
		}
		defer s.keep(p)
		k = &judged{p: p, demand: c.Demand()}
		if k.j, err = p.judge(ctx, c, true); err != nil {
			return nil, err
		}
	}
	k.mu.Lock()
	r, err := k.p.report(ctx, c, k.j)
	k.mu.Unlock()
	if err == nil && !c.ByStress { // an estimate while a finger moves is not asked about again
		s.mu.Lock()
		s.last[lastOf(c)] = k
		s.mu.Unlock()
	}
	return r, err
}

// Prepare is Prepare, on what the session holds.
func (s *Session) Prepare(ctx context.Context, b *layout.Board, c Conditions) (*Prepared, error) {
	if err := c.Check(b).Err(); err != nil {
		return nil, err
	}
	s.mu.Lock()
	held := slices.Clone(s.held)
	s.mu.Unlock()
	for _, h := range held {
		m, err := h.p.m.For(ctx, b, c.Solving())
		if err != nil {
			return nil, err
		}
		if m != nil {
			return &Prepared{m: reporter{m}, from: h.p.root()}, nil
		}
	}
	p, err := Prepare(ctx, b, c)
	if err != nil {
		return nil, err
	}
	p.m.Keep()
	return p, nil
}

// FigureOf is FigureOf, on what the session holds.
func (s *Session) FigureOf(ctx context.Context, b *layout.Board, c Conditions) (Figure, error) {
	p, err := s.Prepare(ctx, b, c)
	if err != nil {
		return Figure{}, err
	}
	f, err := p.Figure(ctx, c)
	s.keep(p)
	return f, err
}

// root is the board that was prepared first of those that share what was solved.
func (p *Prepared) root() *Prepared {
	if p.from != nil {
		return p.from
	}
	return p
}

// keep puts a board that was judged in front, and lets go of those asked for longest
// ago while there are too many bytes.
func (s *Session) keep(p *Prepared) {
	p = p.root()
	bytes := p.m.Bytes()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held = slices.DeleteFunc(s.held, func(h *heldBoard) bool { return h.p == p })
	s.held = slices.Insert(s.held, 0, &heldBoard{p, bytes})
	sum := int64(0)
	for i, h := range s.held {
		if sum += h.bytes; sum > s.most {
			s.held = slices.Delete(s.held, i, len(s.held))
			return
		}
	}
}

// Bytes is what the session holds at present, about.
func (s *Session) Bytes() int64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	sum := int64(0)
	for _, h := range s.held {
		sum += h.bytes
	}
	return sum
}
