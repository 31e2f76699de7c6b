package api

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad"
)

// harness sends requests to a service and holds every answer to openapi.yaml.
type harness struct {
	t      *testing.T
	server *Server
	doc    *openapi3.T
	router routers.Router
}

func init() {
	asText := func(body io.Reader, _ http.Header, _ *openapi3.SchemaRef, _ openapi3filter.EncodingFn) (any, error) {
		b, err := io.ReadAll(body)
		return string(b), err
	}
	openapi3filter.RegisterBodyDecoder(typePart, openapi3filter.RegisteredBodyDecoder(typeJSON))
	for _, kind := range []string{"image/svg+xml", "text/html", "text/css", "text/javascript"} {
		openapi3filter.RegisterBodyDecoder(kind, asText)
	}
}

func newHarness(t *testing.T, cfg Config) *harness {
	t.Helper()
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	s, err := New(cfg)
	require.NoError(t, err)
	s.ready.Store(true) // no listener here
	h := &harness{t: t, server: s}
	c, err := contractRead()
	require.NoError(t, err)
	h.doc, h.router = c.doc, c.router
	return h
}

// contractOf is the contract with its routes.
type contractOf struct {
	doc    *openapi3.T
	router routers.Router
}

// contractRead reads it once for all tests, which only look at it.
var contractRead = sync.OnceValues(func() (c contractOf, err error) {
	if c.doc, err = loadContract(tanrad.OpenAPI); err == nil {
		c.router, err = gorillamux.NewRouter(c.doc)
	}
	return c, err
})

// request is one request of a test; the zero method is GET, or POST with a body.
type request struct {
	method, path string
	header       map[string]string
	body         string
	kind         string // Content-Type; "" is application/json when there is a body, "-" none
	ctx          context.Context
}

func (q request) make() *http.Request {
	method := q.method
	if method == "" {
		method = http.MethodGet
		if q.body != "" {
			method = http.MethodPost
		}
	}
	ctx := q.ctx
	if ctx == nil {
		ctx = context.Background()
	}
	r := httptest.NewRequestWithContext(ctx, method, q.path, bytes.NewReader([]byte(q.body)))
	if q.body != "" && q.kind == "" {
		r.Header.Set("Content-Type", "application/json")
	} else if q.kind != "-" && q.kind != "" {
		r.Header.Set("Content-Type", q.kind)
	}
	for k, v := range q.header {
		r.Header.Set(k, v)
	}
	return r
}

// good sends a request that must itself keep to the contract.
func (h *harness) good(q request) *httptest.ResponseRecorder {
	h.t.Helper()
	input := h.input(q)
	require.NotNil(h.t, input, "%s is not in the contract", q.path)
	require.NoError(h.t, openapi3filter.ValidateRequest(context.Background(), input), "%s %s", q.method, q.path)
	return h.send(q)
}

// send sends a request that may break the contract; the answer must keep to it.
func (h *harness) send(q request) *httptest.ResponseRecorder {
	h.t.Helper()
	w := h.fire(q)
	require.NotEmpty(h.t, w.Header().Get(requestIDHeader))
	if w.Code >= 400 {
		require.Equal(h.t, "application/problem+json", w.Header().Get("Content-Type"), "%s: %s", q.path, short(w))
	}
	if input := h.input(q); input != nil {
		require.NoError(h.t, openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
			RequestValidationInput: input, Status: w.Code, Header: w.Header(),
			Body:    io.NopCloser(bytes.NewReader(w.Body.Bytes())),
			Options: &openapi3filter.Options{IncludeResponseStatus: true},
		}), "%s %d %s", q.path, w.Code, short(w))
	}
	return w
}

// refused sends a request with faults and gives the problem that tells them.
func (h *harness) refused(q request) (p Problem) {
	h.t.Helper()
	w := h.send(q)
	require.Equal(h.t, http.StatusUnprocessableEntity, w.Code, "%s: %s", q.path, short(w))
	require.NoError(h.t, json.Unmarshal(w.Body.Bytes(), &p), q.path)
	return p
}

// fire sends a request and checks nothing.
func (h *harness) fire(q request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.server.Handler().ServeHTTP(w, q.make())
	return w
}

// input is the request as the contract's validator wants it, nil when the
// contract has no such route.
func (h *harness) input(q request) *openapi3filter.RequestValidationInput {
	r := q.make()
	route, params, err := h.router.FindRoute(r)
	if err != nil {
		return nil
	}
	return &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route,
		Options: &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}}
}

// short is the front of an answer, for the message of a failed test.
func short(w *httptest.ResponseRecorder) string {
	body := w.Body.String()
	return body[:min(len(body), 300)]
}

// debugLog logs every request into a buffer.
func debugLog(to io.Writer) *slog.Logger {
	return slog.New(slog.NewTextHandler(to, &slog.HandlerOptions{Level: slog.LevelDebug}))
}
