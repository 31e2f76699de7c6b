package api

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"sync/atomic"
	"time"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// Config says how the service runs. The zero value is the documented default.
type Config struct {
	Addr      string        // where to listen; "" is ":8080"
	DebugAddr string        // metrics and profiles, on a listener of their own; "" leaves it out
	Checks    int           // board checks at once; 0 is 2
	CheckTime time.Duration // longest board check; 0 is 20 s
	QueueTime time.Duration // longest wait for a free place among the checks; 0 is 2 s
	BoardSize int64         // bytes of a board file; 0 is 2 MiB
	Pieces    int           // most pieces of a board, each halving of elements counted fourfold; 0 is 4000 (about 1 GB a check)
	Memory    int64         // bytes of solved parts kept between boards; 0 is 128 MiB
	Grace     time.Duration // longest wait for running requests at the end; 0 is 10 s
	Log       *slog.Logger  // nil writes text to standard error
}

func (c Config) orDefault() Config {
	if c.Addr == "" {
		c.Addr = ":8080"
	}
	if c.Checks <= 0 {
		c.Checks = 2
	}
	if c.CheckTime <= 0 {
		c.CheckTime = 20 * time.Second
	}
	if c.QueueTime <= 0 {
		c.QueueTime = 2 * time.Second
	}
	if c.BoardSize <= 0 {
		c.BoardSize = 2 << 20
	}
	if c.Pieces <= 0 {
		c.Pieces = 4000
	}
	if c.Memory <= 0 {
		c.Memory = 128 << 20
	}
	if c.Grace <= 0 {
		c.Grace = 10 * time.Second
	}
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(os.Stderr, nil))
	}
	return c
}

// Time limits of the connection; the longest check fits into the write limit.
const (
	readHeaderTime = 5 * time.Second
	readTime       = 30 * time.Second
	idleTime       = 2 * time.Minute
	maxHeader      = 32 << 10
)

// Server is one running service. Open it, then Serve; Run does both.
type Server struct {
	cfg     Config
	metrics *metrics
	places  chan struct{} // one token for each board check under way
	memory  *answer.Memory
	pages   *pages
	engine  *gin.Engine
	main    *http.Server
	debug   *http.Server
	ln, dln net.Listener
	ready   atomic.Bool
	stop    context.CancelFunc // ends the context of every request
}

// New builds a service; nothing listens yet. The error is a fault in the
// embedded contract or pages.
func New(cfg Config) (*Server, error) {
	s := &Server{cfg: cfg.orDefault(), metrics: newMetrics()}
	s.memory = answer.NewMemory(s.cfg.Memory, s.cfg.Pieces)
	s.places = make(chan struct{}, s.cfg.Checks)
	var err error
	if s.pages, err = newPages(); err != nil {
		return nil, err
	}
	if s.engine, err = s.routes(); err != nil {
		return nil, err
	}
	base, stop := context.WithCancel(context.Background())
	s.stop = stop
	quiet := slog.NewLogLogger(s.cfg.Log.Handler(), slog.LevelWarn)
	s.main = &http.Server{
		Handler: s.engine, ErrorLog: quiet,
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
func (s *Server) Handler() http.Handler { return s.engine }

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

// Close says not ready, waits for running requests up to Config.Grace, then
// ends what is left.
func (s *Server) Close() error {
	s.ready.Store(false)
	defer s.stop()
	ctx, cancel := context.WithTimeout(context.Background(), s.cfg.Grace)
	defer cancel()
	err := s.main.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		s.cfg.Log.Warn("requests were still running at the end of the grace", "grace", s.cfg.Grace)
		s.stop()
		err = s.main.Close()
	}
	return errors.Join(err, s.debug.Close())
}
