package api

import (
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// planNames are the parameters of a plan.
var planNames = with("shop", "month", "workshop", "arrival"+repeats, "price"+repeats, "kerf", "trim", "longest", "clamp", "defects", "pace")

// plan reads the parameters of a plan.
func (q *query) plan() answer.PlanQuery {
	return answer.PlanQuery{BoardQuery: q.conditions(), Shop: q.text("shop"), Month: q.whole("month", 0), Workshop: q.text("workshop"), Arrival: q.texts("arrival"), Prices: q.texts("price"),
		Kerf: q.text("kerf"), Trim: q.text("trim"), Longest: q.text("longest"), Clamp: q.number("clamp"), Defects: q.number("defects"), Pace: q.number("pace")}
}

// planForms are the forms of a plan by media type.
var planForms = map[string]string{typeJSON: answer.PlanJSON, typeText: answer.PlanText}

// plan answers a board file with how the board is made.
func (s *Server) plan(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeText)
	if !ok {
		return
	}
	r := readQuery(c, planNames...)
	if r.kind = kind; kind == typeText {
		r.kind += "; charset=utf-8"
	}
	q := r.plan()
	s.onBoard(c, r, false, func(src []byte) (*answer.Question, error) { return answer.AskPlan(src, q, planForms[kind], s.memory) })
}
