package api

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/gate"
	"github.com/tanrad/tanrad/api/jobs"
	"github.com/tanrad/tanrad/api/kept"
)

// Time limits of the connection; the longest check fits into the write limit.
const (
	readHeaderTime = 5 * time.Second
	readTime       = 30 * time.Second
	idleTime       = 2 * time.Minute
	maxHeader      = 32 << 10
)

// Server is one running service. Open it, then Serve; Run does both.
type Server struct {
	cfg       Config
	metrics   *metrics
	heavy     *gate.Gate // places for board questions
	quick     *gate.Gate // and for those that a drawing asks at every edit
	memory    *answer.Memory
	answers   *kept.Texts  // as they were sent, under their tags
	files     *kept.Texts  // boards that were answered, under their names
	jobs      *jobs.Broker // nil where none are taken
	pages     *pages
	engine    *gin.Engine
	main      *http.Server
	debug     *http.Server
	classroom answer.Classroom
	ln, dln   net.Listener
	ready     atomic.Bool
	stop      context.CancelFunc // ends the context of every request
	running   sync.WaitGroup     // requests under way
}

// New builds a service; nothing listens yet. The error is a fault in the
// embedded contract or pages.
func New(cfg Config) (*Server, error) {
	s := &Server{cfg: cfg.orDefault()}
	if err := s.cfg.faulty(); err != nil {
		return nil, err
	}
	s.memory = answer.NewMemory(s.cfg.Memory, s.cfg.Boards, s.cfg.Budget).Within(s.cfg.CheckTime)
	s.answers, s.files = kept.New(s.cfg.Answers/4*3), kept.New(s.cfg.Answers/4)
	s.heavy = gate.New(gate.Limits{Places: s.cfg.Checks, Wait: s.cfg.QueueTime, PerClient: s.cfg.PerClient, Expect: time.Second})
	s.quick = gate.New(gate.Limits{Places: s.cfg.Quick, Wait: s.cfg.QueueTime, PerClient: s.cfg.PerClient, Expect: 100 * time.Millisecond})
	s.quick.Beside(s.heavy)
	s.jobs = s.cfg.Jobs
	s.metrics = newMetrics(s)
	var err error
	if s.pages, err = madePages(); err != nil {
		return nil, err
	}
	if s.engine, err = s.routes(); err != nil {
		return nil, err
	}
	base, stop := context.WithCancel(context.Background())
	s.stop = stop
	quiet := slog.NewLogLogger(s.cfg.Log.Handler(), slog.LevelWarn)
	s.main = &http.Server{
		Handler: s.Handler(), ErrorLog: quiet,
		ReadHeaderTimeout: readHeaderTime, ReadTimeout: readTime, IdleTimeout: idleTime,
		WriteTimeout:   readTime + s.cfg.QueueTime + s.cfg.CheckTime + 10*time.Second,
		MaxHeaderBytes: maxHeader,
		BaseContext:    func(net.Listener) context.Context { return base },
	}
	s.debug = &http.Server{
		Handler: s.debugRoutes(), ErrorLog: quiet,
		ReadHeaderTimeout: readHeaderTime, ReadTimeout: readTime, IdleTimeout: idleTime,
		WriteTimeout: 2 * time.Minute, MaxHeaderBytes: maxHeader,
	}
	return s, nil
}

// Handler is the service without its listeners, for tests and for embedding.
func (s *Server) Handler() http.Handler { return s.traced(s.forBrowsers(s.engine)) }

// Open takes the addresses. A taken port is an error here, before anybody was
// told that the service is ready.
func (s *Server) Open() error {
	var err error
	if s.ln, err = net.Listen("tcp", s.cfg.Addr); err != nil {
		return fmt.Errorf("api: %w", err)
	}
	if s.cfg.DebugAddr != "" {
		if s.dln, err = net.Listen("tcp", s.cfg.DebugAddr); err != nil {
			s.ln.Close()
			return fmt.Errorf("api: debug listener: %w", err)
		}
	}
	return nil
}

// Addr is the address that was taken, for instance when Config said ":0".
func (s *Server) Addr() string { return s.ln.Addr().String() }

// DebugAddr is that of metrics and profiles, "" when there is none.
func (s *Server) DebugAddr() string {
	if s.dln == nil {
		return ""
	}
	return s.dln.Addr().String()
}

// Serve answers until ctx ends, then closes with grace. It returns nil after
// an orderly end.
func (s *Server) Serve(ctx context.Context) error {
	failed := make(chan error, 2)
	serve := func(h *http.Server, ln net.Listener) {
		if err := h.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
			failed <- err
		}
	}
	go serve(s.main, s.ln)
	if s.dln != nil {
		go serve(s.debug, s.dln)
	}
	s.ready.Store(true)
	s.cfg.Log.Info("ready", "addr", s.Addr(), "debug", s.DebugAddr())
	select {
	case <-ctx.Done():
		return s.Close()
	case err := <-failed:
		return errors.Join(err, s.Close())
	}
}

// Run opens and serves until ctx ends.
func (s *Server) Run(ctx context.Context) error {
	if err := s.Open(); err != nil {
		return err
	}
	return s.Serve(ctx)
}

// Close says not ready, lets a balancer see it, waits for running requests up to
// Config.Grace, then ends their contexts so that they tell what they have, and
// only when they had a moment to do so their connections.
func (s *Server) Close() error {
	s.ready.Store(false)
	defer s.stop()
	time.Sleep(s.cfg.Drain)
	ended := make(chan struct{})
	go func() { s.running.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-time.After(s.cfg.Grace):
		s.cfg.Log.Warn("requests were still running at the end of the grace", "grace", s.cfg.Grace)
	}
	s.stop()
	ctx, cancel := context.WithTimeout(context.Background(), lastWords)
	defer cancel()
	err := s.main.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = s.main.Close()
	}
	return errors.Join(err, s.debug.Close())
}

// lastWords is how long requests may write after their context has ended.
const lastWords = 3 * time.Second

// BoundMemory tells the collector how much the service means to take: every place
// its budget, and what is kept. It works harder when that comes near. A limit of
// the environment (GOMEMLIMIT) counts instead.
func (s *Server) BoundMemory() {
	if os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	const itself = 256 << 20
	debug.SetMemoryLimit(int64(s.cfg.Checks)*s.cfg.Budget + int64(s.cfg.Quick)*quickBudget + s.cfg.Memory + s.cfg.Boards + s.cfg.Answers + itself)
}

// quickBudget is what a quick question takes at most, bytes; see package answer.
const quickBudget = 128 << 20
