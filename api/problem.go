package api

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
)

// statusOf is the one table from rules to HTTP statuses. A list of faults takes
// the status of its first rule, in the order below for the grave ones.
var statusOf = map[fault.Rule]int{
	fault.Syntax:       http.StatusBadRequest,
	fault.TooLarge:     http.StatusRequestEntityTooLarge,
	fault.UnknownKey:   http.StatusUnprocessableEntity,
	fault.RepeatedKey:  http.StatusUnprocessableEntity,
	fault.MissingKey:   http.StatusUnprocessableEntity,
	fault.WrongType:    http.StatusUnprocessableEntity,
	fault.WrongLength:  http.StatusUnprocessableEntity,
	fault.OutOfRange:   http.StatusUnprocessableEntity,
	fault.NotOneOf:     http.StatusUnprocessableEntity,
	fault.UnknownName:  http.StatusUnprocessableEntity,
	fault.MissingData:  http.StatusUnprocessableEntity,
	fault.NotAllowed:   http.StatusUnprocessableEntity,
	fault.Ragged:       http.StatusUnprocessableEntity,
	fault.Outline:      http.StatusUnprocessableEntity,
	fault.Overlap:      http.StatusUnprocessableEntity,
	fault.Detached:     http.StatusUnprocessableEntity,
	fault.Sliver:       http.StatusUnprocessableEntity,
	fault.Construction: http.StatusUnprocessableEntity,
	fault.Unstable:     http.StatusUnprocessableEntity,
}

// titles are the problem types of this service: the last part of the type URI
// and the title that goes with it.
var titles = map[string]string{
	"input":         "The input has faults",
	"parameters":    "The parameters have faults",
	"board-gone":    "This board is not kept any more",
	"not-found":     "There is nothing here",
	"method":        "This method is not served here",
	"media-type":    "The body is not of a type that is read here",
	"accept":        "No asked-for type can be given",
	"too-large":     "The body is too large",
	"slow-body":     "The body did not arrive in time",
	"busy":          "Too many questions at once",
	"too-many":      "Too many questions of one client at once",
	"deadline":      "The answer would take too long",
	"key":           "A key is needed",
	"no-jobs":       "Jobs are not taken here",
	"no-room":       "There is no room for further jobs",
	"no-broker":     "Jobs cannot be reached just now",
	"not-yet":       "There is no result yet",
	"cancelled":     "The job was cancelled",
	"other-request": "The key belongs to another request",
	"going-down":    "The service is going down",
	"internal":      "Something went wrong here",
	"not-supported": "This part of HTTP is not served here",
}

// Problem is an RFC 9457 problem with one entry for each fault.
type Problem struct {
	Type      string  `json:"type"`
	Title     string  `json:"title"`
	Status    int     `json:"status"`
	Detail    string  `json:"detail,omitempty"`
	RequestID string  `json:"request_id,omitempty"`
	Errors    []Entry `json:"errors,omitempty"`

	retryAfter string
	allow      string
}

// Entry is one fault on the wire: its place is a pointer into the body (with
// "#" before it, as RFC 9457 shows) or the name of a query parameter.
type Entry struct {
	Rule      fault.Rule  `json:"rule"`
	Pointer   *string     `json:"pointer,omitempty"`
	Parameter string      `json:"parameter,omitempty"`
	Detail    string      `json:"detail"`
	Found     string      `json:"found,omitempty"`
	Allowed   string      `json:"allowed,omitempty"`
	Nearest   []string    `json:"nearest,omitempty"`
	Fix       string      `json:"fix,omitempty"`
	At        *[2]float64 `json:"at,omitempty"`
	Pieces    []string    `json:"pieces,omitempty"`
}

// newProblem makes a problem of a type in titles.
func newProblem(status int, kind, detail string) *Problem {
	return &Problem{Type: "/problems/" + kind, Title: titles[kind], Status: status, Detail: detail}
}

// place says where the faults of an error point to.
type place int

const (
	inBody  place = iota // pointers into the body
	inQuery              // names of parameters
)

// ProblemOf turns an error into the problem a client sees. Faults keep their
// words; of any other error nothing is told but that it happened. Faults of
// answer.Parameters are faults of the query.
func ProblemOf(err error) *Problem {
	var params answer.Parameters
	if errors.As(err, &params) {
		return problemOf(err, inQuery)
	}
	return problemOf(err, inBody)
}

func problemOf(err error, where place) *Problem {
	var tooLarge *http.MaxBytesError
	if list := fault.Of(err); len(list) > 0 {
		return problemOfFaults(list, where)
	}
	switch {
	case errors.As(err, &tooLarge):
		return newProblem(http.StatusRequestEntityTooLarge, "too-large", "the body is longer than this route reads")
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return newProblem(http.StatusUnprocessableEntity, "deadline", "the time allowed ran out")
	}
	return newProblem(http.StatusInternalServerError, "internal", "")
}

func problemOfFaults(list fault.List, where place) *Problem {
	kind := "input"
	if where == inQuery {
		kind = "parameters"
	}
	status := http.StatusUnprocessableEntity
	for _, f := range list {
		// a text that cannot be read at all outranks what it says
		switch s := statusOf[f.Rule]; {
		case s == 0:
			status = http.StatusInternalServerError
		case f.Rule == fault.TooLarge && f.Pointer == "" && len(list) == 1:
			status, kind = s, "too-large"
		case f.Rule == fault.Syntax:
			status = s
		}
	}
	p := newProblem(status, kind, counted(len(list)))
	p.Errors = make([]Entry, len(list))
	for i, f := range list {
		e := Entry{Rule: f.Rule, Detail: f.Detail, Found: f.Found, Allowed: f.Allowed, Nearest: f.Nearest, Fix: f.Fix, At: f.At, Pieces: f.Pieces}
		if where == inQuery {
			e.Parameter = strings.TrimPrefix(f.Pointer, "/")
		} else {
			pointer := "#" + f.Pointer
			e.Pointer = &pointer
		}
		p.Errors[i] = e
	}
	return p
}

func counted(n int) string {
	if n == 1 {
		return "one fault, see errors"
	}
	return itoa(n) + " faults, see errors"
}

// fail answers with a problem and ends the request.
func fail(c *gin.Context, p *Problem) {
	p.RequestID = requestID(c)
	if p.retryAfter != "" {
		c.Header("Retry-After", p.retryAfter)
	}
	if p.allow != "" {
		c.Header("Allow", p.allow)
	}
	noteRules(c, p)
	body, err := answer.Encode(p)
	if err != nil { // a problem holds no numbers but a place on the board
		body = []byte(`{"type":"/problems/internal","title":"Something went wrong here","status":500}` + "\n")
		p.Status = http.StatusInternalServerError
	}
	c.Abort()
	c.Header("Cache-Control", "no-store")
	c.Data(p.Status, "application/problem+json", body)
}
