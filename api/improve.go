package api

import (
	"context"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// improve searches a board file for a better arrangement.
func (s *Server) improve(c *gin.Context) {
	r := readQuery(c, "home", "air"+repeats, "mc"+repeats, "shift"+repeats, "exposures"+repeats, "refine", "have"+repeats, "lock"+repeats, "turns", "rounds", "deadline", "seed")
	q := answer.ImproveQuery{Have: r.texts("have"), Lock: r.texts("lock"), Turns: r.whole("turns", 0), Rounds: r.whole("rounds", 0), BoardQuery: conditions(r)}
	q.Seed = r.whole("seed", 0)
	if d := r.number("deadline"); d != nil {
		q.Deadline = *d
	}
	s.work(c, r, func(ctx context.Context, body []byte) (any, error) { return answer.Improve(ctx, body, q, s.memory) })
}

// conditions reads what a board is asked to bear.
func conditions(r *query) answer.BoardQuery {
	return answer.BoardQuery{Home: r.text("home"), Air: r.texts("air"), Moistures: r.numbers("mc"), Shifts: r.numbers("shift"), Exposures: r.texts("exposures"), Refine: r.whole("refine", 0)}
}

// windows works out the windows of a care card.
func (s *Server) windows(c *gin.Context) {
	r := readQuery(c, "home", "air"+repeats, "mc"+repeats, "shift"+repeats, "exposures"+repeats, "refine")
	q := conditions(r)
	s.work(c, r, func(ctx context.Context, body []byte) (any, error) { return answer.Windows(ctx, body, q, s.memory) })
}

// advice works out what would help a board.
func (s *Server) advice(c *gin.Context) {
	r := readQuery(c, "home", "air"+repeats, "mc"+repeats, "shift"+repeats, "exposures"+repeats, "refine", "have"+repeats, "seed")
	q := answer.AdviceQuery{BoardQuery: conditions(r), Have: r.texts("have")}
	q.Seed = r.whole("seed", 0)
	s.work(c, r, func(ctx context.Context, body []byte) (any, error) { return answer.Advice(ctx, body, q, s.memory) })
}

// work answers a question about a board file as JSON, in one of the places for
// board checks.
func (s *Server) work(c *gin.Context, r *query, ask func(ctx context.Context, body []byte) (any, error)) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	s.onBoard(c, r, ask)
}
