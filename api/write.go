package api

import (
	"bytes"
	"net/http"
	"strconv"
	"sync"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

var headerJSON = []string{typeJSON}

// buffers hold bodies on their way in and answers on their way out.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// maxKept bounds the buffers that are kept for the next request.
const maxKept = 64 << 10

func borrow() *bytes.Buffer { return buffers.Get().(*bytes.Buffer) }

func giveBack(b *bytes.Buffer) {
	if b.Cap() <= maxKept {
		b.Reset()
		buffers.Put(b)
	}
}

// give encodes an answer and only then writes it, so that one that cannot be
// encoded is a problem and not an empty success.
func (s *Server) give(c *gin.Context, v any) { s.giveWith(c, http.StatusOK, v) }

// giveWith is give with another status of success.
func (s *Server) giveWith(c *gin.Context, status int, v any) {
	b := borrow()
	defer giveBack(b)
	if err := answer.EncodeTo(b, v); err != nil {
		s.cfg.Log.Error("encode", "id", requestID(c), "route", c.FullPath(), "err", err)
		fail(c, newProblem(http.StatusInternalServerError, "internal", ""))
		return
	}
	if c.Request.Method != http.MethodPost && c.Request.Method != http.MethodDelete && unchanged(c, tagOf(b.Bytes())) {
		return
	}
	h := c.Writer.Header()
	h["Content-Type"] = headerJSON
	h["Content-Length"] = []string{strconv.Itoa(b.Len())}
	c.Status(status)
	_, _ = c.Writer.Write(b.Bytes()) // the client went away; nobody is left to tell
}

// giveOr answers with v, or with the problem err stands for.
func (s *Server) giveOr(c *gin.Context, v any, err error) {
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	s.give(c, v)
}

// faulty refuses a query that has faults, and tells whether it did.
func (s *Server) faulty(c *gin.Context, r *query) bool {
	if len(r.faults) > 0 {
		s.refuse(c, r.faults, inQuery)
	}
	return len(r.faults) > 0
}

// refuse answers with the problem of an error; one that is no fault is logged,
// for the client is told nothing about it.
func (s *Server) refuse(c *gin.Context, err error, where place) {
	p := problemOf(err, where)
	if where == inBody {
		p = ProblemOf(err)
	}
	if p.Status == http.StatusInternalServerError {
		s.cfg.Log.Error("answer", "id", requestID(c), "route", c.FullPath(), "err", err)
	}
	fail(c, p)
}
