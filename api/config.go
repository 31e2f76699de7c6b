package api

import (
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"os"
	"runtime"
	"time"

	"go.opentelemetry.io/otel/trace"

	"github.com/tanrad/tanrad/api/jobs"
)

// Config says how the service runs. The zero value is the documented default.
type Config struct {
	Addr      string               // where to listen; "" is "127.0.0.1:8080"
	DebugAddr string               // metrics and profiles, on a listener of their own; "" leaves it out
	Checks    int                  // heavy questions worked on at once; 0 leaves a core to the quick ones
	Quick     int                  // quick questions worked on at once, beside the heavy ones; 0 is one a core
	CheckTime time.Duration        // longest answer; 0 is 20 s
	QueueTime time.Duration        // longest wait for a place; 0 is 5 s
	PerClient int                  // questions of one client unanswered at once, of each kind; 0 is 16
	BoardSize int64                // bytes of a board file; 0 is 2 MiB
	Budget    int64                // bytes that solving one board may take; 0 is 2 GiB
	Memory    int64                // bytes of solved parts kept between boards; 0 is 128 MiB
	Boards    int64                // bytes of whole solved boards held for the next edit; 0 is 512 MiB
	Answers   int64                // bytes of answers and of the boards they are about, kept for whoever asks the same again or edits; 0 is 32 MiB
	Grace     time.Duration        // longest wait for running requests at the end; 0 is CheckTime
	Drain     time.Duration        // how long /readyz says no before anything ends, for a balancer to see it; 0 is none
	Origins   []string             // origins whose pages may ask, "*" for any; empty for none
	Keys      []Key                // whoever asks must have one of these; empty asks for none
	Open      bool                 // no keys on an address others can reach
	Jobs      *jobs.Broker         // where jobs are kept; nil takes none. It stays its owner's to close
	Traces    trace.TracerProvider // where spans go; nil makes none
	Log       *slog.Logger         // nil writes text to standard error
}

func (c Config) orDefault() Config {
	cores := runtime.GOMAXPROCS(0)
	if c.Addr == "" {
		c.Addr = "127.0.0.1:8080"
	}
	for _, n := range []struct {
		is *int
		or int
	}{{&c.Checks, max(1, cores-1)}, {&c.Quick, cores}, {&c.PerClient, 16}} {
		if *n.is <= 0 {
			*n.is = n.or
		}
	}
	for _, n := range []struct {
		is *int64
		or int64
	}{{&c.BoardSize, 2 << 20}, {&c.Budget, 2 << 30}, {&c.Memory, 128 << 20}, {&c.Boards, 512 << 20}, {&c.Answers, 32 << 20}} {
		if *n.is <= 0 {
			*n.is = n.or
		}
	}
	if c.CheckTime <= 0 {
		c.CheckTime = 20 * time.Second
	}
	if c.QueueTime <= 0 {
		c.QueueTime = 5 * time.Second
	}
	if c.Grace <= 0 {
		c.Grace = c.CheckTime
	}
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(os.Stderr, nil))
	}
	return c
}

// faulty says what of a configuration cannot be meant.
func (c Config) faulty() error {
	host, _, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return fmt.Errorf("api: address %q: %w", c.Addr, err)
	}
	if len(c.Keys) == 0 && !c.Open && !loopback(host) {
		return fmt.Errorf("api: %s can be reached by others: give keys, or say that it is open to all", c.Addr)
	}
	for _, o := range c.Origins {
		u, err := url.Parse(o)
		if o != "*" && (err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" || u.Path != "" || u.RawQuery != "" || u.User != nil) {
			return fmt.Errorf("api: origin %q: allowed https://host, http://host:port or *", o)
		}
	}
	return nil
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}
