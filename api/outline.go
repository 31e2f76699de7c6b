package api

import (
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// outline answers a drawing with a board file.
func (s *Server) outline(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	r := readQuery(c, "units", "thickness", "stock"+repeats, "scale", "tolerance", "name")
	q := answer.OutlineQuery{Units: r.text("units"), Thickness: r.text("thickness"), Stock: r.texts("stock"),
		Scale: r.number("scale"), Tolerance: r.number("tolerance"), Name: r.text("name")}
	if s.faulty(c, r) {
		return
	}
	body := borrow()
	defer giveBack(body) // nothing in an answer points into the body
	if !takeBody(c, body, drawingTypes) {
		return
	}
	text, err := answer.Outline(body.Bytes(), q)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	giveBody(c, typeJSON, text)
}
