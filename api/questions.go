package api

import (
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/picture"
)

// progress is told how far a long question has come; nil where nobody listens.
type progress func(done, total int, what string)

// longKind is a question about a board that is answered in JSON, over its own
// route or as a job: which parameters it takes, and how they and a body are read.
type longKind struct {
	names []string
	read  func(r *query, m *answer.Memory, p progress) question
}

// longKinds are the questions that have a route /v1/board/… and may be handed in
// as jobs under the same name; "check" is /v1/board itself.
var longKinds = map[string]longKind{
	"check": {with("series", "cracks", "chance", "joints_above", "digits", "by", "explain"), func(r *query, m *answer.Memory, p progress) question {
		q := r.conditions()
		q.Series, q.NoCracks = r.whole("series", 0), !r.flag("cracks", true)
		q.ByStress, q.Only = r.word("by", "crack", "stress") == "stress", r.fields
		q.NoChance, q.Explain, q.Progress = !r.flag("chance", true), r.text("explain"), p
		if u := r.number("joints_above"); u != nil {
			q.JointsAbove = *u
		}
		few := r.whole("digits", answer.ReportDigits)
		q.Digits = &few
		return func(src []byte) (*answer.Question, error) { return answer.AskBoard(src, q, m) }
	}},
	"improve": {with("have"+repeats, "glued"+repeats, "lock"+repeats, "turns", "rounds", "deadline", "seed"), func(r *query, m *answer.Memory, p progress) question {
		q := answer.ImproveQuery{Have: r.texts("have"), Glued: r.texts("glued"), Lock: r.texts("lock"), Turns: r.whole("turns", 0), Rounds: r.whole("rounds", 0), BoardQuery: r.conditions(), Progress: p}
		q.Seed = r.whole("seed", 0)
		if d := r.number("deadline"); d != nil {
			q.Deadline = *d
		}
		return func(src []byte) (*answer.Question, error) { return answer.AskImprove(src, q, m) }
	}},
	"windows": {with(), func(r *query, m *answer.Memory, p progress) question {
		q := r.conditions()
		q.Progress = p
		return func(src []byte) (*answer.Question, error) { return answer.AskWindows(src, q, m) }
	}},
	"plan": {planNames, func(r *query, m *answer.Memory, p progress) question {
		q := r.plan()
		q.Progress = p
		return func(src []byte) (*answer.Question, error) { return answer.AskPlan(src, q, answer.PlanJSON, m) }
	}},
	"advice": {with("have"+repeats, "glued"+repeats, "seed", "quick"), func(r *query, m *answer.Memory, p progress) question {
		q := answer.AdviceQuery{BoardQuery: r.conditions(), Have: r.texts("have"), Glued: r.texts("glued"), Quick: r.flag("quick", false)}
		q.Seed, q.Progress = r.whole("seed", 0), p
		return func(src []byte) (*answer.Question, error) { return answer.AskAdvice(src, q, m) }
	}},
}

// with lists the parameters of every route that checks a board, and more.
func with(more ...string) []string {
	return append([]string{"home", "air" + repeats, "mc" + repeats, "shift" + repeats, "exposures" + repeats, "refine"}, more...)
}

// conditions reads the parameters of every route that checks a board.
func (q *query) conditions() answer.BoardQuery {
	return answer.BoardQuery{Home: q.text("home"), Air: q.texts("air"), Moistures: q.numbers("mc"), Shifts: q.numbers("shift"),
		Exposures: q.texts("exposures"), Refine: q.whole("refine", 0)}
}

// settled tells whether only end states are asked about, on the documented mesh.
func (q *query) settled() bool {
	return q.values.Get("exposures") == "none" && (!q.values.Has("refine") || q.values.Get("refine") == "0")
}

// long answers one of longKinds at once.
func (s *Server) long(kind string) gin.HandlerFunc {
	k := longKinds[kind]
	return func(c *gin.Context) {
		if _, ok := choose(c, typeJSON); !ok {
			return
		}
		r := readQuery(c, k.names...)
		s.onBoard(c, r, k.read(r, s.memory, nil))
	}
}

// aboutBoard reads what is asked about a board: the report, or its picture. When it
// cannot be given, the request has been answered.
func (s *Server) aboutBoard(c *gin.Context) (r *query, read question, ok bool) {
	kind, ok := choose(c, typeJSON, typePart, typeSVG)
	if !ok {
		return nil, nil, false
	}
	k := longKinds["check"]
	r = readQuery(c, append([]string{"fields" + repeats}, k.names...)...)
	r.kind, r.tagged, r.drawn = kind, true, true
	r.quick = r.settled() && (kind == typeSVG || r.values.Get("cracks") == "false" && r.values.Get("chance") == "false")
	fields, err := answer.FieldsOf(&answer.Report{}, r.texts("fields"))
	r.fields, r.faults = fields, append(r.faults, fault.Of(err)...)
	read = k.read(r, s.memory, nil)
	if kind == typeSVG {
		q := r.conditions()
		read = func(src []byte) (*answer.Question, error) {
			return answer.AskDraw(src, q, answer.PictureQuery{View: picture.ViewLayout}, s.memory)
		}
	}
	return r, read, true
}

// board checks a board file and answers with the report or its picture.
func (s *Server) board(c *gin.Context) {
	if r, read, ok := s.aboutBoard(c); ok {
		s.onBoard(c, r, read)
	}
}

// picture answers a board file with one of its pictures.
func (s *Server) picture(c *gin.Context) {
	kind, ok := choose(c, typeSVG, typePNG)
	if !ok {
		return
	}
	r := readQuery(c, with("view", "exposure", "state", "hour", "width")...)
	r.kind = kind
	q := r.conditions()
	p := answer.PictureQuery{View: r.text("view"), Exposure: r.text("exposure"), State: r.text("state"), Hour: r.number("hour"), PNG: kind == typePNG, Width: r.whole("width", 0)}
	if p.View == "" {
		p.View = picture.ViewLayout
	}
	r.tagged, r.quick = true, r.settled() || p.View == picture.ViewSlices
	s.onBoard(c, r, func(src []byte) (*answer.Question, error) { return answer.AskDraw(src, q, p, s.memory) })
}

// diagnose looks back from a crack to what most likely opened it.
func (s *Server) diagnose(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	s.onBoard(c, readQuery(c), func(src []byte) (*answer.Question, error) { return answer.AskDiagnose(src, s.memory) })
}

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
	r.file = "board." + q.Format
	s.onBoard(c, r, func(src []byte) (*answer.Question, error) { return answer.AskExport(src, q, s.memory) })
}
