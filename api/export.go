package api

import (
	"bytes"
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

const typeText = "text/plain"

// export gives the model a board is solved with, for other programs.
func (s *Server) export(c *gin.Context) {
	if _, ok := choose(c, typeText); !ok {
		return
	}
	r := readQuery(c, "format", "system", "state", "change", "home", "refine")
	q := answer.ExportQuery{Format: r.text("format"), System: r.text("system"), State: r.text("state"),
		Change: r.number("change"), Home: r.text("home"), Refine: r.whole("refine", 0)}
	if q.Format == "" {
		q.Format = "inp"
	}
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
	text, err := answer.Export(ctx, body.Bytes(), q, s.memory)
	var params answer.Parameters
	switch {
	case errors.As(err, &params):
		s.refuse(c, err, inQuery)
		return
	case err != nil:
		s.refuse(c, err, inBody)
		return
	}
	c.Header("Content-Disposition", `attachment; filename="board.`+q.Format+`"`)
	c.Data(http.StatusOK, typeText+"; charset=utf-8", text)
}
