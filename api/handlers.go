package api

import (
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
)

// health is the whole answer of the two probes.
type health struct {
	Status string `json:"status"`
}

func (s *Server) healthz(c *gin.Context) { s.give(c, health{"alive"}) }

func (s *Server) readyz(c *gin.Context) {
	if !s.ready.Load() {
		s.goingDown(c)
		return
	}
	s.give(c, health{"ready"})
}

func (s *Server) listSpecies(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeSVG)
	if !ok {
		return
	}
	names := []string{"q", "class", "bonding", "colour", "data", "limit", "offset"}
	if kind == typeSVG {
		names = append(names, "from", "to") // the list has no use for them
	}
	r := readQuery(c, names...)
	q := answer.SpeciesQuery{Q: r.text("q"), Class: r.text("class"), Bonding: r.text("bonding"), Colour: r.text("colour"),
		Data: r.text("data"), Limit: r.whole("limit", 50), Offset: r.whole("offset", 0)}
	if kind == typeSVG {
		m := answer.DefaultMovement
		if from := r.number("from"); from != nil {
			m.From = *from
		}
		if to := r.number("to"); to != nil {
			m.To = *to
		}
		svg, err := answer.DrawSpecies(q, m)
		if l := merge(r.faults, fault.Of(err)); len(l) > 0 {
			s.refuse(c, l, inQuery)
			return
		}
		s.giveDrawing(c, svg, err)
		return
	}
	askFlat(s, c, r, q, answer.ListSpecies)
}

// giveDrawing answers with a picture, or with the problem err stands for.
func (s *Server) giveDrawing(c *gin.Context, svg []byte, err error) {
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	if c.Request.Method != http.MethodPost && unchanged(c, tagOf(svg)) {
		return
	}
	c.Data(http.StatusOK, typeSVG, svg)
}

func (s *Server) emc(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	r := readQuery(c, "temperature", "humidity", "moisture")
	q := answer.EMCQuery{Temperature: r.number("temperature"), Humidity: r.number("humidity"), Moisture: r.number("moisture")}
	askFlat(s, c, r, q, answer.AskEMC)
}

// askFlat puts a question made of flat parameters, unless they had faults, and
// tells all of them at once.
func askFlat[Q, A any](s *Server, c *gin.Context, r *query, q Q, ask func(Q) (A, error)) {
	a, err := ask(q)
	var more fault.List
	if errors.As(err, &more) || len(r.faults) > 0 {
		err = merge(r.faults, more)
	}
	if err != nil {
		s.refuse(c, err, inQuery)
		return
	}
	s.give(c, a)
}

// merge joins two lists, leaving out of the second what stands at a place that
// the first has told already.
func merge(first, second fault.List) fault.List {
	told := make(map[string]bool, len(first))
	for _, f := range first {
		told[f.Pointer] = true
	}
	for _, f := range second {
		if !told[f.Pointer] {
			first = append(first, f)
		}
	}
	return first
}

// giveList answers with a list that takes no parameters.
func giveList[A any](s *Server, c *gin.Context, all func() A) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	if s.faulty(c, readQuery(c)) {
		return
	}
	s.give(c, all())
}

func (s *Server) oneSpecies(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	if s.faulty(c, readQuery(c)) {
		return
	}
	a, err := answer.OneSpecies(c.Param("id"))
	var one fault.Fault
	if errors.As(err, &one) { // a path that names nothing is 404, with the nearest names
		one.Pointer = "/id"
		p := problemOf(one, inQuery)
		p.Status = http.StatusNotFound
		p.Type, p.Title = "/problems/not-found", titles["not-found"]
		fail(c, p)
		return
	}
	s.giveOr(c, a, err)
}

func (s *Server) movement(c *gin.Context) { ask(s, c, answer.Move) }

func (s *Server) pair(c *gin.Context) {
	kind, ok := choose(c, typeJSON, typeSVG)
	if !ok {
		return
	}
	r := readQuery(c)
	r.kind, r.quick = kind, true // a board of two strips is solved
	s.onBoard(c, r, func(src []byte) (*answer.Question, error) { return answer.AskPair(src, kind == typeSVG) })
}

// ask answers a question that is a small JSON body.
func ask[A any](s *Server, c *gin.Context, answer func([]byte) (A, error)) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	if c.Request.URL.RawQuery != "" && s.faulty(c, readQuery(c)) {
		return
	}
	body := borrow()
	defer giveBack(body) // nothing in an answer points into the body
	if !takeBody(c, body, jsonTypes) {
		return
	}
	a, err := answer(body.Bytes())
	s.giveOr(c, a, err)
}
