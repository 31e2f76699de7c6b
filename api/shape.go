package api

import (
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// shape answers how a board lies at one moment, for a page that draws it.
func (s *Server) shape(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	r := readQuery(c, with("state", "hour")...)
	q, p := r.conditions(), answer.ShapeQuery{State: r.text("state"), Hour: r.number("hour")}
	r.tagged, r.quick = true, r.settled()
	s.onBoard(c, r, func(src []byte) (*answer.Question, error) { return answer.AskShape(src, q, p, s.memory) })
}
