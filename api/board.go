package api

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/picture"
)

// conditionNames are the parameters of every route that checks a board.
var conditionNames = []string{"home", "air" + repeats, "mc" + repeats, "shift" + repeats, "exposures" + repeats, "refine"}

// conditions reads them.
func (q *query) conditions() answer.BoardQuery {
	return answer.BoardQuery{Home: q.text("home"), Air: q.texts("air"), Moistures: q.numbers("mc"), Shifts: q.numbers("shift"),
		Exposures: q.texts("exposures"), Refine: q.whole("refine", 0)}
}

// board checks a board file and answers with the report or its picture.
func (s *Server) board(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeSVG)
	if !ok {
		return
	}
	r := readQuery(c, append([]string{"series", "samples", "seed", "cracks", "chance"}, conditionNames...)...)
	q := r.conditions()
	q.Series, q.Samples, q.Seed, q.NoCracks = r.whole("series", 0), r.whole("samples", 0), r.whole("seed", 0), !r.flag("cracks", true)
	q.NoChance = !r.flag("chance", true)
	if kind == typeSVG {
		s.onBoard(c, r, func(ctx context.Context, src []byte) (any, error) {
			return answer.Draw(ctx, src, q, answer.PictureQuery{View: picture.ViewLayout}, s.memory)
		})
		return
	}
	s.onBoard(c, r, func(ctx context.Context, src []byte) (any, error) {
		_, report, err := answer.Board(ctx, src, q, s.memory)
		return report, err
	})
}

// picture answers a board file with one of its pictures.
func (s *Server) picture(c *gin.Context) {
	if _, ok := choose(c, typeSVG); !ok {
		return
	}
	r := readQuery(c, append([]string{"view", "exposure", "state", "hour"}, conditionNames...)...)
	q := r.conditions()
	p := answer.PictureQuery{View: r.text("view"), Exposure: r.text("exposure"), State: r.text("state"), Hour: r.number("hour")}
	if p.View == "" {
		p.View = picture.ViewLayout
	}
	s.onBoard(c, r, func(ctx context.Context, src []byte) (any, error) {
		return answer.Draw(ctx, src, q, p, s.memory)
	})
}

// onBoard takes the body and a place among the board checks, works, and answers:
// bytes are a picture, an attachment is a file, anything else becomes JSON.
func (s *Server) onBoard(c *gin.Context, r *query, work func(ctx context.Context, src []byte) (any, error)) {
	if len(r.faults) > 0 {
		s.refuse(c, r.faults, inQuery)
		return
	}
	var body bytes.Buffer
	if !jsonBody(c, &body) {
		return
	}
	ctx, done, ok := s.place(c)
	if !ok {
		return
	}
	defer done()
	a, err := work(ctx, body.Bytes())
	var params answer.Parameters
	switch {
	case errors.As(err, &params):
		s.refuse(c, err, inQuery)
		return
	case err != nil:
		s.refuse(c, err, inBody)
		return
	}
	switch a := a.(type) {
	case []byte:
		c.Header("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
		c.Data(http.StatusOK, typeSVG, a)
	case attachment:
		c.Header("Content-Disposition", `attachment; filename="`+a.name+`"`)
		c.Data(http.StatusOK, typeText+"; charset=utf-8", a.text)
	default:
		s.give(c, a)
	}
}

// place waits for a free place among the board checks and gives the context of
// the check, which ends with the client, the service or the time allowed. When
// none comes free in time, the request has been answered with 503.
func (s *Server) place(c *gin.Context) (context.Context, func(), bool) {
	queue := time.NewTimer(s.cfg.QueueTime)
	defer queue.Stop()
	select {
	case s.places <- struct{}{}:
	default:
		select {
		case s.places <- struct{}{}:
		case <-c.Request.Context().Done():
			s.refuse(c, c.Request.Context().Err(), inBody)
			return nil, nil, false
		case <-queue.C:
			s.metrics.refused.Inc()
			p := newProblem(http.StatusServiceUnavailable, "busy", "all places for board checks are taken")
			p.retryAfter = "2"
			fail(c, p)
			return nil, nil, false
		}
	}
	s.metrics.checks.Inc()
	ctx, cancel := context.WithTimeout(c.Request.Context(), s.cfg.CheckTime)
	return ctx, func() {
		cancel()
		s.metrics.checks.Dec()
		<-s.places
	}, true
}
