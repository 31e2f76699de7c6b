package answer

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/window"
)

// ImproveQuery says what a search may change and how long it works.
type ImproveQuery struct {
	Have       []string       `json:"have"`                      // woods in the shop
	Glued      []string       `json:"glued" validate:"max=1000"` // glue-ups that are done
	BoardQuery `validate:"-"` // conditions of the figures that are told; Seed is of the search
	Lock       []string       `json:"lock" validate:"max=2"`              // "species", "pattern", or "none" alone; empty locks both
	Turns      int            `json:"turns" validate:"gte=0,lte=20000"`   // most blocks that may lie otherwise; 0 any number
	Rounds     int            `json:"rounds" validate:"gte=0,lte=1000"`   // 0 is the default of the search
	Deadline   float64        `json:"deadline" validate:"gte=0,lte=3600"` // seconds; 0 none

	Progress func(done, total int, what string) `json:"-"` // may be nil
}

// Words of a lock.
const (
	lockSpecies = "species"
	lockPattern = "pattern"
	lockNone    = "none"
)

func (q *ImproveQuery) check() fault.List {
	faults := append(validate(q), q.BoardQuery.check()...)
	faults = append(faults, inShop(q.Have)...)
	words := []string{lockSpecies, lockPattern, lockNone}
	for _, w := range q.Lock {
		switch {
		case !slices.Contains(words, w):
			faults = append(faults, fault.Fault{Rule: fault.NotOneOf, Pointer: "/lock", Detail: "not a known lock", Found: fault.Short(w),
				Allowed: "species, pattern, or none by itself", Nearest: fault.Nearest(w, words, 1)})
		case w == lockNone && len(q.Lock) > 1:
			faults = append(faults, fault.Fault{Rule: fault.NotAllowed, Pointer: "/lock", Detail: "none cannot stand beside other locks", Found: w, Allowed: "none by itself"})
		}
	}
	return faults
}

// mostInShop bounds the woods of a shop.
const mostInShop = 200

// inShop lists the woods of a shop that nobody knows.
func inShop(names []string) fault.List {
	if len(names) > mostInShop {
		return fault.List{{Rule: fault.WrongLength, Pointer: "/have", Detail: "too many woods", Found: fmt.Sprint(len(names)), Allowed: fmt.Sprintf("at most %d", mostInShop)}}
	}
	_, err := arrange.Shop(names)
	return place(err, "/have")
}

func (q *ImproveQuery) options() arrange.Options {
	o := arrange.Options{Have: q.Have, Glued: q.Glued, Turns: q.Turns, Rounds: q.Rounds, Seed: uint64(q.Seed), Deadline: time.Duration(q.Deadline * float64(time.Second))}
	if len(q.Lock) > 0 {
		o.FreeSpecies, o.FreePattern = !slices.Contains(q.Lock, lockSpecies), !slices.Contains(q.Lock, lockPattern)
	}
	if q.Progress != nil {
		o.Progress = func(p arrange.Progress) {
			q.Progress(p.Round, p.Rounds, fmt.Sprintf("best so far %.0f %%", 100*p.Utilisation))
		}
	}
	return o
}

// Improve looks for a better arrangement of a board file's blocks. When ctx
// runs out it gives the best so far. The error is a fault.List, one in
// Parameters when the query is at fault, or that of the context.
func Improve(ctx context.Context, src []byte, q ImproveQuery, m *Memory) (*arrange.Result, error) {
	return answered[*arrange.Result](ctx)(AskImprove(src, q, m))
}

// AskImprove reads a board file for Improve.
func AskImprove(src []byte, q ImproveQuery, m *Memory) (*Question, error) {
	if faults := q.check(); len(faults) > 0 {
		return nil, Parameters{faults}
	}
	f, b, cond, err := readFor(src, q.BoardQuery, m)
	if err != nil {
		return nil, err
	}
	if l := arrange.Unglued(b, q.Glued); len(l) > 0 {
		return nil, Parameters{l}
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		r, err := arrange.Improve(ctx, f, cond, q.options())
		return some(r, sorted(err))
	}}, nil
}

// Windows works out what a board file's board bears, for a care card. Home and
// Refine of the query count. Errors as Improve.
func Windows(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*window.Windows, error) {
	return answered[*window.Windows](ctx)(AskWindows(src, q, m))
}

// AskWindows reads a board file for Windows.
func AskWindows(src []byte, q BoardQuery, m *Memory) (*Question, error) {
	f, _, cond, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		w, err := window.Of(ctx, f, cond)
		return some(w, sorted(err))
	}}, nil
}

// AdviceQuery says what to look for advice under.
type AdviceQuery struct {
	BoardQuery          // conditions; Seed is of the search for blocks to turn
	Have       []string `json:"have"`  // woods in the shop
	Glued      []string `json:"glued"` // glue-ups that are done
	Quick      bool     `json:"quick"` // the two changes that help most, in the time of a few checks
}

// Advice works out single changes to a board file's board. When ctx runs out it
// gives what is done and lists the rest. Errors as Improve.
func Advice(ctx context.Context, src []byte, q AdviceQuery, m *Memory) (*advice.Advice, error) {
	return answered[*advice.Advice](ctx)(AskAdvice(src, q, m))
}

// AskAdvice reads a board file for Advice.
func AskAdvice(src []byte, q AdviceQuery, m *Memory) (*Question, error) {
	if err := inShop(q.Have).Err(); err != nil {
		return nil, Parameters{err}
	}
	f, b, cond, err := readFor(src, q.BoardQuery, m)
	if err != nil {
		return nil, err
	}
	if l := arrange.Unglued(b, q.Glued); len(l) > 0 {
		return nil, Parameters{l}
	}
	if q.Quick && len(q.Have)+len(q.Glued) > 0 {
		return nil, Parameters{fault.List{{Rule: fault.NotAllowed, Pointer: "/quick", Detail: "the quick form knows of no shop and no glue-ups that are done", Found: "true", Allowed: "without have and glued"}}}
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		if q.Quick {
			now, err := check.FigureOf(ctx, b, cond)
			if err != nil {
				return nil, sorted(err)
			}
			a, err := advice.Quick(ctx, f, b, cond, now)
			return some(a, sorted(err))
		}
		a, err := advice.Moves(ctx, f, cond, advice.Options{Seed: uint64(q.Seed), Have: q.Have, Glued: q.Glued})
		return some(a, sorted(err))
	}}, nil
}

// readFor reads a board and the conditions it is asked about.
func readFor(src []byte, q BoardQuery, m *Memory) (*layout.File, *layout.Board, check.Conditions, error) {
	if err := q.check().Err(); err != nil {
		return nil, nil, check.Conditions{}, Parameters{err}
	}
	f, b, err := layout.Open(src, layout.Limits{})
	if err != nil {
		return nil, nil, check.Conditions{}, err
	}
	if err := q.checkAgainst(b); err != nil {
		return nil, nil, check.Conditions{}, err
	}
	return f, b, q.conditions(m), nil
}
