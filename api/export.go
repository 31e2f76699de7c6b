package api

import (
	"context"

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
	s.onBoard(c, r, func(ctx context.Context, src []byte) (any, error) {
		text, err := answer.Export(ctx, src, q, s.memory)
		return attachment{"board." + q.Format, text}, err
	})
}

// attachment is an answer of text that a browser keeps as a file.
type attachment struct {
	name string
	text []byte
}
