package api

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"
	"go.opentelemetry.io/otel/attribute"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/gate"
)

// question is what a handler makes of a body: the question, or its faults.
type question func(body []byte) (*answer.Question, error)

// onBoard takes the body, reads it and refuses what is faulty, and only then takes
// a place, works, and answers: bytes are a picture, or a file where the query names one,
// anything else becomes JSON.
func (s *Server) onBoard(c *gin.Context, r *query, read question) {
	if s.faulty(c, r) {
		return
	}
	var body bytes.Buffer
	if !takeBody(c, &body, jsonTypes) {
		return
	}
	s.answerOn(c, r, c.FullPath(), body.Bytes(), read)
}

// answerOn answers a question about a board that has arrived. Where equal questions
// have equal answers, whoever has the answer is told so before any work is done, and
// one that was given lately is given again.
func (s *Server) answerOn(c *gin.Context, r *query, route string, file []byte, read question) {
	var tag string
	if r.tagged {
		tag = tagOf([]byte(route), []byte(r.values.Encode()), []byte(r.kind), file)
		if text := s.answers.Get(tag); text != nil {
			s.metrics.again.Inc()
			if r.drawn {
				s.keepBoard(c, file)
			}
			if !unchanged(c, tag) {
				kind, answer, _ := bytes.Cut(text, []byte("\n"))
				giveBody(c, string(kind), answer)
			}
			return
		}
	}
	// Whoever cannot be answered soon is told so before anything is read: reading 48
	// blocks costs twenty times what a refusal does. What is faulty waits for nothing.
	places := s.kindOf(r.quick)
	ticket, err := places.gate.Take(c.GetString(clientKey))
	if err != nil {
		s.sendAway(c, err, places.name)
		return
	}
	defer func() {
		if ticket != nil {
			ticket.Leave()
		}
	}()
	began := time.Now()
	q, err := read(file)
	s.metrics.phase("read", places.name, began)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	if r.drawn {
		s.keepBoard(c, file)
	}
	if r.tagged && unchanged(c, tag) {
		return
	}
	if q.Quick != r.quick { // the board is larger than the query said, or the picture smaller
		ticket.Leave()
		places = s.kindOf(q.Quick)
		if ticket, err = places.gate.Take(c.GetString(clientKey)); err != nil {
			s.sendAway(c, err, places.name)
			return
		}
	}
	a, ok := s.work(c, q, ticket, places)
	if !ok {
		return
	}
	began = time.Now()
	kind, text, err := encoded(a, r.fields)
	s.metrics.phase("encode", places.name, began)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	if _, made := a.([]byte); made && (strings.HasPrefix(r.kind, "text/") || r.kind == typePNG) {
		kind = r.kind // several forms, and this one was chosen
	}
	if r.tagged {
		s.answers.Put(tag, append([]byte(kind+"\n"), text...))
	}
	if r.file != "" {
		c.Header("Content-Disposition", `attachment; filename="`+r.file+`"`)
		kind = typeText + "; charset=utf-8"
	}
	giveBody(c, kind, text)
}

// encoded is an answer as it is sent, with its media type: a picture as it is, of
// anything else the whole or the keys asked for.
func encoded(a any, fields answer.Fields) (kind string, text []byte, err error) {
	if picture, ok := a.([]byte); ok {
		return typeSVG, picture, nil
	}
	text, err = answer.Encode(a)
	if err != nil || len(fields) == 0 {
		return typeJSON, text, err
	}
	text, err = fields.Of(text)
	return typePart, text, err
}

// giveBody sends an answer that is encoded already.
func giveBody(c *gin.Context, kind string, body []byte) {
	if kind == typeSVG || kind == typeHTML {
		c.Header("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	}
	c.Header("Content-Length", itoa(len(body)))
	c.Data(http.StatusOK, kind, body)
}

// kindOf is the kind of places a question is for.
func (s *Server) kindOf(quick bool) placeKind {
	if quick {
		return placeKind{s.quick, "quick"}
	}
	return placeKind{s.heavy, "heavy"}
}

type placeKind struct {
	gate *gate.Gate
	name string
}

// work answers a question that was let in, in a place of its kind. When that fails,
// the request has been answered.
func (s *Server) work(c *gin.Context, q *answer.Question, place *gate.Ticket, kind placeKind) (any, bool) {
	waited := time.Now()
	asked := c.Request.Context()
	_, span := phase(asked, "wait for a place", attribute.String("kind", kind.name))
	err := place.Wait(asked)
	ended(span, asked)
	s.metrics.waited.WithLabelValues(kind.name).Observe(time.Since(waited).Seconds())
	if err != nil {
		s.sendAway(c, err, kind.name)
		return nil, false
	}
	working, span := phase(asked, "work", attribute.String("kind", kind.name))
	defer ended(span, asked)
	ctx, cancel := context.WithTimeout(working, s.cfg.CheckTime)
	defer cancel()
	if !q.Quick {
		ctx = s.quick.Polite(ctx)
	}
	began := time.Now()
	a, err := q.Answer(ctx)
	s.metrics.phase("work", kind.name, began)
	switch {
	case err == nil:
		return a, true
	case c.Request.Context().Err() != nil: // the client left, or the service goes down
		s.left(c)
	case errors.Is(err, context.DeadlineExceeded) && place.Crowded():
		p := newProblem(http.StatusServiceUnavailable, "busy", "the answer did not come in time beside others")
		p.retryAfter = seconds(s.cfg.CheckTime)
		fail(c, p)
	case errors.Is(err, context.DeadlineExceeded):
		// the same question would take as long again: no time to come back
		fail(c, newProblem(http.StatusUnprocessableEntity, "deadline", "the answer takes longer than the "+s.cfg.CheckTime.String()+" of this route: ask for less, or hand it in as a job"))
	default:
		s.refuse(c, err, inBody)
	}
	return nil, false
}

// sendAway answers a question that got no place.
func (s *Server) sendAway(c *gin.Context, err error, kind string) {
	var r *gate.Refused
	if !errors.As(err, &r) {
		s.left(c)
		return
	}
	s.metrics.refused.WithLabelValues(kind).Inc()
	p := newProblem(http.StatusServiceUnavailable, "busy", "all places for "+kind+" questions are taken")
	if r.Own {
		p = newProblem(http.StatusTooManyRequests, "too-many", "of one client only "+itoa(s.cfg.PerClient)+" "+kind+" questions may be unanswered")
	}
	p.retryAfter = seconds(r.After)
	fail(c, p)
}

// clientLeft is the status under which a request is counted whose client did not
// wait for the answer; nobody reads it.
const clientLeft = 499

// left ends a request whose context ended before its answer.
func (s *Server) left(c *gin.Context) {
	if s.ready.Load() {
		s.cfg.Log.LogAttrs(c.Request.Context(), slog.LevelInfo, "the client left", slog.String("id", requestID(c)), slog.String("route", c.FullPath()))
		c.Abort()
		c.Status(clientLeft)
		return
	}
	s.goingDown(c)
}

func (s *Server) goingDown(c *gin.Context) {
	p := newProblem(http.StatusServiceUnavailable, "going-down", "")
	p.retryAfter = "5"
	fail(c, p)
}

func seconds(d time.Duration) string { return strconv.Itoa(int(max(1, (d+time.Second-1)/time.Second))) }
