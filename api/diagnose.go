package api

import (
	"bytes"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// diagnose looks back from a crack to what most likely opened it.
func (s *Server) diagnose(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	if r := readQuery(c); len(r.faults) > 0 {
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
	d, err := answer.Diagnose(ctx, body.Bytes(), s.memory)
	s.giveOr(c, d, err)
}
