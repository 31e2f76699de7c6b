package api

import (
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
)

// planNames are the parameters of a plan.
var planNames = with("shop", "month", "workshop", "arrival"+repeats, "price"+repeats, "kerf", "trim", "longest", "clamp", "defects", "pace")

// plan reads the parameters of a plan.
func (q *query) plan() answer.PlanQuery {
	return answer.PlanQuery{BoardQuery: q.conditions(), Shop: q.text("shop"), Month: q.month(), Workshop: q.text("workshop"), Arrival: q.texts("arrival"), Prices: q.texts("price"),
		Kerf: q.text("kerf"), Trim: q.text("trim"), Longest: q.text("longest"), Clamp: q.number("clamp"), Defects: q.number("defects"), Pace: q.number("pace")}
}

// month is the month of the work, nil when none is told.
func (q *query) month() *int {
	if q.text("month") == "" {
		return nil
	}
	v := q.whole("month", 1)
	return &v
}

// plan answers a board file with how the board is made.
func (s *Server) plan(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeText, "text/html")
	if !ok {
		return
	}
	r := readQuery(c, append([]string{"part"}, planNames...)...)
	form := answer.PlanJSON
	switch kind {
	case typeText:
		form, r.kind = answer.PlanText, typeText+"; charset=utf-8"
	case "text/html":
		form, r.kind = answer.PlanPage, typeHTML
	}
	switch part := r.text("part"); {
	case part == "" || part == "plan":
	case part != "card":
		r.add(fault.NotOneOf, "part", "not a part of the plan", part, "plan, card")
	case kind != "text/html":
		r.add(fault.NotAllowed, "part", "only a page can be asked for by part; JSON holds the card, and text tells it", part, "part beside Accept: text/html")
	default:
		form = answer.PlanCard
	}
	q := r.plan()
	s.onBoard(c, r, func(src []byte) (*answer.Question, error) { return answer.AskPlan(src, q, form, s.memory) })
}
