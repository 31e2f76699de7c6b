package api

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/apitest"
	"github.com/tanrad/tanrad/api/gate"
)

var silent = slog.New(slog.DiscardHandler)

// start runs a whole service on free ports and gives a function that ends it.
func start(t testing.TB, cfg Config, more func(*Server)) (*Server, func() error) {
	t.Helper()
	cfg.Addr, cfg.DebugAddr, cfg.Log = "127.0.0.1:0", "127.0.0.1:0", silent
	s, err := New(cfg)
	require.NoError(t, err)
	if more != nil {
		more(s)
	}
	require.NoError(t, s.Open())
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	require.Eventually(t, s.ready.Load, 5*time.Second, time.Millisecond)
	var once sync.Once
	var end error
	stop := func() error {
		once.Do(func() { cancel(); end = <-done })
		return end
	}
	t.Cleanup(func() { _ = stop() })
	return s, stop
}

func TestWholeProgramServesAndEnds(t *testing.T) {
	s, stop := start(t, Config{}, nil)
	status, body := apitest.Get(t, "http://"+s.Addr()+"/readyz")
	assert.Equal(t, 200, status, body)
	r, err := http.Post("http://"+s.Addr()+"/v1/pair", "application/json", strings.NewReader(goodPair))
	require.NoError(t, err)
	r.Body.Close()
	assert.Equal(t, 200, r.StatusCode)
	_, _ = apitest.Get(t, "http://"+s.Addr()+"/v1/species/teak")
	r, err = http.Post("http://"+s.Addr()+quickly, "application/json", strings.NewReader(goodBoard))
	require.NoError(t, err)
	r.Body.Close()
	assert.Equal(t, 200, r.StatusCode)
	_, _ = apitest.Get(t, "http://"+s.Addr()+"/v1/species/no-such-wood")
	_, _ = apitest.Get(t, "http://"+s.Addr()+"/some/path/or/other")

	status, metrics := apitest.Get(t, "http://"+s.DebugAddr()+"/metrics")
	assert.Equal(t, 200, status)
	assert.Contains(t, metrics, `tanrad_requests_total{method="GET",route="/v1/species/:id",status="200"} 1`, "by template")
	assert.Contains(t, metrics, `tanrad_input_faults_total{route="/v1/species/:id",rule="unknown-name"} 1`)
	assert.Contains(t, metrics, `tanrad_requests_total{method="GET",route="none",status="404"} 1`)
	assert.NotContains(t, metrics, "teak")
	for _, name := range []string{`tanrad_phase_seconds_count{kind="quick",phase="work"} 2`, `tanrad_queue_seconds_count{kind="quick"} 2`, `tanrad_questions_waiting{kind="heavy"} 0`,
		"tanrad_answers_kept_bytes", "tanrad_boards_held_bytes", "tanrad_job_units_waiting", "tanrad_build_info", "go_goroutines"} {
		assert.Contains(t, metrics, name)
	}
	assert.NotContains(t, metrics, "/some/path")
	status, _ = apitest.Get(t, "http://"+s.Addr()+"/metrics")
	assert.Equal(t, 404, status, "not on the listener of strangers")

	require.NoError(t, stop())
	_, err = http.Get("http://" + s.Addr() + "/healthz")
	assert.Error(t, err)
}

func TestTakenPortIsAnErrorBeforeReady(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer ln.Close()
	s, err := New(Config{Addr: ln.Addr().String(), Log: silent})
	require.NoError(t, err)
	assert.Error(t, s.Run(context.Background()))
	assert.False(t, s.ready.Load())
}

// TestShutdownWaitsForRunningRequests: one that is under way gets its answer.
func TestShutdownWaitsForRunningRequests(t *testing.T) {
	began, release := make(chan struct{}), make(chan struct{})
	s, stop := start(t, Config{}, func(s *Server) {
		s.engine.GET("/slow", func(c *gin.Context) {
			close(began)
			<-release
			s.give(c, health{"alive"})
		})
	})
	answer := make(chan int, 1)
	go func() {
		status, _ := apitest.Get(t, "http://"+s.Addr()+"/slow")
		answer <- status
	}()
	<-began
	ended := make(chan error, 1)
	go func() { ended <- stop() }()
	require.Eventually(t, func() bool { return !s.ready.Load() }, 5*time.Second, time.Millisecond)
	close(release)
	assert.Equal(t, 200, <-answer)
	assert.NoError(t, <-ended)
}

// TestGraceHasAnEnd: a request that never ends is told by its context.
func TestGraceHasAnEnd(t *testing.T) {
	began, told := make(chan struct{}), make(chan struct{})
	s, stop := start(t, Config{Grace: 50 * time.Millisecond}, func(s *Server) {
		s.engine.GET("/stuck", func(c *gin.Context) {
			close(began)
			<-c.Request.Context().Done()
			close(told)
		})
	})
	go func() { _, _ = http.Get("http://" + s.Addr() + "/stuck") }()
	<-began
	assert.NoError(t, stop())
	select {
	case <-told:
	case <-time.After(5 * time.Second):
		t.Fatal("the request was never told")
	}
}

func enter(ctx context.Context, g *gate.Gate, client string) (*gate.Ticket, error) {
	t, err := g.Take(client)
	if err == nil {
		err = t.Wait(ctx)
	}
	return t, err
}

// TestBusyIsTold: with every place taken a check waits, then is sent away.
func TestBusyIsTold(t *testing.T) {
	h := newHarness(t, Config{Checks: 1, QueueTime: 20 * time.Millisecond})
	place, err := enter(t.Context(), h.server.heavy, "another")
	require.NoError(t, err)
	w := h.send(request{path: "/v1/board?exposures=none", body: goodBoard})
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
	assert.Equal(t, "/problems/busy", problem(t, w).Type)
	after, err := strconv.Atoi(w.Header().Get("Retry-After"))
	require.NoError(t, err)
	assert.Positive(t, after)
	assert.Equal(t, http.StatusOK, h.send(request{path: "/v1/board?exposures=none&cracks=false&chance=false", body: goodBoard}).Code, "an edit has places of its own")
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board", body: `{"tanrad":2}`}).Code, "what is faulty is refused before it waits")
	place.Leave()
	assert.Equal(t, http.StatusOK, h.send(request{path: "/v1/board?exposures=none", body: goodBoard}).Code)
	assert.Equal(t, gate.State{}, h.server.heavy.State(), "the place is given back")
}

// TestOneClientHasItsShare: past it, 429 with the time to come back.
func TestOneClientHasItsShare(t *testing.T) {
	h := newHarness(t, Config{Checks: 2, PerClient: 1})
	host, _, _ := net.SplitHostPort(request{path: "/"}.make().RemoteAddr)
	place, err := enter(t.Context(), h.server.heavy, host)
	require.NoError(t, err)
	defer place.Leave()
	w := h.send(request{path: "/v1/board?exposures=none", body: goodBoard})
	assert.Equal(t, http.StatusTooManyRequests, w.Code)
	assert.Equal(t, "/problems/too-many", problem(t, w).Type)
	assert.NotEmpty(t, w.Header().Get("Retry-After"))
}

// TestDeadlineIsTold: a check that cannot end in time even alone is no matter of
// coming back.
func TestDeadlineIsTold(t *testing.T) {
	h := newHarness(t, Config{CheckTime: time.Nanosecond})
	w := h.send(request{path: "/v1/board", body: goodBoard})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Equal(t, "/problems/deadline", problem(t, w).Type)
	assert.Empty(t, w.Header().Get("Retry-After"))
}

// TestGoneClientEndsTheCheck: the handler's context is the request's, and nobody
// is told that the service was busy.
func TestGoneClientEndsTheCheck(t *testing.T) {
	var log bytes.Buffer
	h := newHarness(t, Config{Log: slog.New(slog.NewTextHandler(&log, nil))})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	w := h.fire(request{path: "/v1/board", body: goodBoard, ctx: ctx})
	assert.Equal(t, clientLeft, w.Code)
	assert.Contains(t, log.String(), "the client left")
	assert.NotContains(t, log.String(), "ERROR")
	assert.Equal(t, gate.State{}, h.server.heavy.State())
}

// TestTheEndLetsTheBestSoFarBeWritten: a long search under way when the service is
// told to end gives what it has, and a new client sees that it is going down.
func TestTheEndLetsTheBestSoFarBeWritten(t *testing.T) {
	s, stop := start(t, Config{Grace: 300 * time.Millisecond}, nil)
	board := `{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":70,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["MWMWMW","WMWMWM","MWMWMW","WMWMWM"]}}}`
	type reply struct {
		status int
		body   string
	}
	got := make(chan reply, 1)
	go func() {
		r, err := http.Post("http://"+s.Addr()+"/v1/board/improve?rounds=1000&exposures=none&lock=none", "application/json", strings.NewReader(board))
		if err != nil {
			got <- reply{0, err.Error()}
			return
		}
		defer r.Body.Close()
		body, _ := io.ReadAll(r.Body)
		got <- reply{r.StatusCode, string(body)}
	}()
	require.Eventually(t, func() bool { return s.heavy.State().Working == 1 }, 5*time.Second, time.Millisecond)
	ended := make(chan error, 1)
	go func() { ended <- stop() }()
	require.Eventually(t, func() bool { return !s.ready.Load() }, 5*time.Second, time.Millisecond)
	status, _ := apitest.Get(t, "http://"+s.Addr()+"/readyz")
	assert.Equal(t, http.StatusServiceUnavailable, status, "it still listens, and says that it goes down")
	r := <-got
	assert.Contains(t, []int{http.StatusOK, http.StatusServiceUnavailable}, r.status, r.body)
	assert.NoError(t, <-ended)
}

func TestNotReadyWhenGoingDown(t *testing.T) {
	h := newHarness(t, Config{})
	h.server.ready.Store(false)
	assert.Equal(t, http.StatusServiceUnavailable, h.send(request{path: "/readyz"}).Code)
	assert.Equal(t, http.StatusOK, h.send(request{path: "/healthz"}).Code)
}

// TestSlowBodyIs408 sends a body that never ends on a listener with a short
// read limit.
func TestSlowBodyIs408(t *testing.T) {
	s, _ := start(t, Config{}, func(s *Server) { s.main.ReadTimeout = 100 * time.Millisecond })
	c, err := net.Dial("tcp", s.Addr())
	require.NoError(t, err)
	defer c.Close()
	_, err = fmt.Fprintf(c, "POST /v1/pair HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{")
	require.NoError(t, err)
	require.NoError(t, c.SetReadDeadline(time.Now().Add(5*time.Second)))
	answer := make([]byte, 12)
	_, err = io.ReadFull(c, answer)
	require.NoError(t, err)
	assert.Equal(t, "HTTP/1.1 408", string(answer))
}

// A body that says beforehand that it is too long is refused before any of it has come.
func TestLongBodiesAreRefusedUnread(t *testing.T) {
	s, _ := start(t, Config{}, nil)
	c, err := net.Dial("tcp", s.Addr())
	require.NoError(t, err)
	defer c.Close()
	_, err = fmt.Fprintf(c, "POST /v1/pair HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 99999999\r\n\r\n{")
	require.NoError(t, err)
	require.NoError(t, c.SetReadDeadline(time.Now().Add(5*time.Second)))
	answer, err := io.ReadAll(c)
	require.NoError(t, err, "the connection is closed")
	assert.Equal(t, "HTTP/1.1 413", string(answer[:12]))
}

// TestForwardedForIsNotBelieved: the header is anybody's claim.
func TestForwardedForIsNotBelieved(t *testing.T) {
	h := newHarness(t, Config{})
	seen := ""
	h.server.engine.GET("/ip", func(c *gin.Context) { seen = c.ClientIP(); h.server.give(c, health{"alive"}) })
	h.send(request{path: "/ip", header: map[string]string{"X-Forwarded-For": "203.0.113.9"}})
	assert.NotEqual(t, "203.0.113.9", seen)
	assert.NotEmpty(t, seen)
}

// TestManyAtOnce: answers do not mix.
func TestManyAtOnce(t *testing.T) {
	const many = 24 // far more than places; each is solved, and under the race detector slowly
	h := newHarness(t, Config{PerClient: many, QueueTime: time.Minute})
	var wg sync.WaitGroup
	for i := range many {
		wg.Go(func() {
			body := fmt.Sprintf(`{"a":{"species":"teak","ring_angle":%d},"b":{"species":"teak","ring_angle":0},"moisture":{"change":3}}`, i)
			w := h.send(request{path: "/v1/pair", body: body})
			assert.Contains(t, w.Body.String(), fmt.Sprintf(`"ring_angle":%d,`, i))
		})
	}
	wg.Wait()
}

// A pair is solved as the board of two strips that it is: it takes a place of the quick
// questions, and a crowd of pairs is sent away like any other.
func TestPairsTakeAPlace(t *testing.T) {
	h := newHarness(t, Config{Checks: 1, Quick: 1, QueueTime: 20 * time.Millisecond})
	place, err := enter(t.Context(), h.server.quick, "another")
	require.NoError(t, err)
	for _, accept := range []string{typeJSON, typeSVG} {
		w := h.send(request{path: "/v1/pair", body: goodPair, header: map[string]string{"Accept": accept}})
		assert.Equal(t, http.StatusServiceUnavailable, w.Code, short(w))
		assert.NotEmpty(t, w.Header().Get("Retry-After"))
	}
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/pair", body: `{}`}).Code)
	place.Leave()
	assert.Equal(t, http.StatusOK, h.send(request{path: "/v1/pair", body: goodPair}).Code)
	assert.Equal(t, gate.State{}, h.server.quick.State())
}
