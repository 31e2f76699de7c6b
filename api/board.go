package api

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// board checks a board file and answers with the report or its picture.
func (s *Server) board(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeSVG)
	if !ok {
		return
	}
	r := readQuery(c, "home", "moisture", "shift", "exposures", "series", "refine")
	q := answer.BoardQuery{Home: r.text("home"), Moisture: r.number("moisture"), Shift: r.number("shift"),
		Exposures: r.text("exposures"), Series: r.whole("series", 0), Refine: r.whole("refine", 0)}
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
	b, report, err := answer.Board(ctx, body.Bytes(), q, s.memory)
	var params answer.Parameters
	switch {
	case errors.As(err, &params):
		s.refuse(c, err, inQuery)
		return
	case err != nil:
		s.refuse(c, err, inBody)
		return
	}
	if kind == typeJSON {
		s.give(c, report)
		return
	}
	svg, err := answer.Picture(b, report)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	c.Header("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	c.Data(http.StatusOK, typeSVG, svg)
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
