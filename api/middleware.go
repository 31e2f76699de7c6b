package api

import (
	"crypto/rand"
	"encoding/hex"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/trace"

	"github.com/tanrad/tanrad/api/answer"
)

const (
	requestIDHeader = "X-Request-Id"
	rulesKey        = "fault-rules"
)

// itoa is short for the decimal text of n.
func itoa(n int) string { return strconv.Itoa(n) }

// requestID gives the id of a request; made once, told in header, body and log.
func requestID(c *gin.Context) string { return c.Writer.Header().Get(requestIDHeader) }

// identify keeps an id the client sent, if it is short and plain, or makes one.
func identify(c *gin.Context) {
	id := c.GetHeader(requestIDHeader)
	if !plainID(id) {
		var b [12]byte
		_, _ = rand.Read(b[:]) // never fails, see crypto/rand
		id = hex.EncodeToString(b[:])
	}
	h := c.Writer.Header()
	h[requestIDHeader] = []string{id}
	h["X-Content-Type-Options"] = noSniff
	h["Referrer-Policy"] = noReferrer
	h["Cross-Origin-Resource-Policy"] = sameOrigin // pages that were named ask by CORS, which this leaves alone
	h["Vary"] = append(h["Vary"], "Accept")        // CORS and packing have said theirs
	h[programHeader], h[dataHeader] = madeProgram(), madeData()
	c.Next()
}

var (
	noSniff     = []string{"nosniff"}
	noReferrer  = []string{"no-referrer"}
	sameOrigin  = []string{"same-origin"}
	madeProgram = sync.OnceValue(func() []string { return []string{answer.Version().Program} })
	madeData    = sync.OnceValue(func() []string { return []string{answer.Version().Data} })
)

func plainID(id string) bool {
	if len(id) < 1 || len(id) > 64 {
		return false
	}
	for _, r := range []byte(id) {
		if !(r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '-' || r == '_' || r == '.') {
			return false
		}
	}
	return true
}

// observe counts and times every request by route template and logs those that
// went wrong here; the rest only when the log is set to debug.
func (s *Server) observe(c *gin.Context) {
	s.running.Add(1)
	defer s.running.Done()
	start := time.Now()
	c.Next()
	route := c.FullPath()
	if route == "" {
		route = "none"
	}
	status, took := c.Writer.Status(), time.Since(start)
	if span := trace.SpanFromContext(c.Request.Context()); span.IsRecording() {
		span.SetName(c.Request.Method + " " + route)
		span.SetAttributes(attribute.String("http.route", route), attribute.String("request.id", requestID(c)))
	}
	s.metrics.request(route, c.Request.Method, status, took)
	if rules, ok := c.Get(rulesKey); ok {
		for _, rule := range rules.([]string) {
			s.metrics.faults.WithLabelValues(route, rule).Inc()
		}
	}
	level := slog.LevelDebug
	switch {
	case status == http.StatusServiceUnavailable: // many at once are no fault of this program
		level = slog.LevelInfo
	case status >= http.StatusInternalServerError:
		level = slog.LevelError
	}
	if s.cfg.Log.Enabled(c.Request.Context(), level) {
		s.cfg.Log.LogAttrs(c.Request.Context(), level, "request", slog.String("id", requestID(c)), slog.String("client", c.GetString(clientKey)),
			slog.String("method", c.Request.Method), slog.String("route", route), slog.Int("status", status), slog.Duration("took", took))
	}
}

// noteRules keeps the rules of a problem for the metrics.
func noteRules(c *gin.Context, p *Problem) {
	if len(p.Errors) == 0 {
		return
	}
	rules := make([]string, len(p.Errors))
	for i, e := range p.Errors {
		rules[i] = string(e.Rule)
	}
	c.Set(rulesKey, rules)
}

// rescue turns a panic into a problem without its text; the text and the stack
// go to the log under the id of the request.
func (s *Server) rescue(c *gin.Context) {
	defer func() {
		r := recover()
		if r == nil {
			return
		}
		if r == http.ErrAbortHandler {
			panic(r)
		}
		s.metrics.panics.Inc()
		s.cfg.Log.Error("panic", "id", requestID(c), "route", c.FullPath(), "panic", r, "stack", string(debug.Stack()))
		if c.Writer.Written() {
			c.Abort()
			return
		}
		fail(c, newProblem(http.StatusInternalServerError, "internal", ""))
	}()
	c.Next()
}

// bodyLimit is where a request keeps how many bytes of its body are read.
const bodyLimit = "body limit"

// limitBody bounds what a handler can read.
func limitBody(bytes int64) gin.HandlerFunc {
	return func(c *gin.Context) {
		c.Set(bodyLimit, bytes)
		c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, bytes)
		c.Next()
	}
}
