package gate

import (
	"context"
	"sync"
	"time"
)

// Polite gives work a context that lets the work behind this gate go first: where the
// work looks whether it should end, it also stands aside while that goes on. It stands
// aside for no longer than it has worked before, mostAside at a time, and not at all
// where a crowd waits here, which would leave it nothing. Contexts made from it end with
// it and do not stand aside.
func (g *Gate) Polite(ctx context.Context) context.Context {
	return &polite{Context: ctx, to: g, since: time.Now()}
}

const (
	mostAside  = 100 * time.Millisecond
	leastAside = 5 * time.Millisecond // it works at least as long between
	glance     = time.Millisecond     // how often it looks whether it may go on
)

type polite struct {
	context.Context
	to    *Gate
	mu    sync.Mutex
	since time.Time // when it went on last
}

// Err is that of the context, after what goes first.
func (p *polite) Err() error {
	if p.to.working.Load() > 0 && p.to.waiting.Load() == 0 {
		p.standAside()
	}
	return p.Context.Err()
}

func (p *polite) standAside() {
	p.mu.Lock() // others of the same work stand aside with it
	defer p.mu.Unlock()
	began := time.Now()
	worked := began.Sub(p.since)
	if worked < leastAside {
		return
	}
	until := began.Add(min(mostAside, worked))
	tick := time.NewTicker(glance)
	defer tick.Stop()
	for now := began; now.Before(until) && p.to.working.Load() > 0 && p.to.waiting.Load() == 0; {
		select {
		case <-p.Done():
			return
		case now = <-tick.C:
		}
	}
	p.since = time.Now()
}
