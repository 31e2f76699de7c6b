// Package gate shares a few places for heavy work fairly among many clients.
//
// Waiting clients take turns, whoever has asked least being served first among
// equals, so that one with many questions does not keep out one with a single
// one. A client may have only so many questions unanswered, and nobody waits in
// vain: when the queue is longer than what is likely to be done in the time
// allowed, the question is sent away at once with the time after which it pays
// to come back.
package gate

import (
	"context"
	"fmt"
	"math"
	"sync"
	"time"
)

// Limits of a gate. All must be positive.
type Limits struct {
	Places    int           // questions worked on at once
	Wait      time.Duration // longest wait for a place
	PerClient int           // questions of one client unanswered, waiting or worked on
	Expect    time.Duration // how long a question takes, until some have been seen
}

// Gate is a set of places. It is safe for concurrent use.
type Gate struct {
	limits Limits

	mu      sync.Mutex
	free    int
	took    time.Duration        // running mean of the time a place was held
	open    map[string]int       // unanswered questions by client
	queue   map[string][]*waiter // by client, first come first
	turn    []string             // clients with a queue, the next to be served first
	waiting int
}

type waiter struct {
	ready chan struct{}
	since time.Time
}

// New makes a gate with all places free.
func New(l Limits) *Gate {
	return &Gate{limits: l, free: l.Places, took: l.Expect, open: map[string]int{}, queue: map[string][]*waiter{}}
}

// Refused says that a question was sent away.
type Refused struct {
	Own   bool          // too many of the client's own are unanswered; else the places are taken
	After time.Duration // when it pays to come back
}

func (r *Refused) Error() string {
	if r.Own {
		return fmt.Sprintf("gate: too many questions of this client are unanswered, come back in %v", r.After)
	}
	return fmt.Sprintf("gate: all places are taken, come back in %v", r.After)
}

// Place is a place that is held.
type Place struct {
	gate    *Gate
	client  string
	since   time.Time
	crowded bool
	once    sync.Once
}

// Enter takes a place, waiting for it when there is a chance to get one in time.
// The error is *Refused or that of the context.
func (g *Gate) Enter(ctx context.Context, client string) (*Place, error) {
	g.mu.Lock()
	if g.open[client] >= g.limits.PerClient {
		after := g.dueLocked(len(g.queue[client]) + 1)
		g.mu.Unlock()
		return nil, &Refused{Own: true, After: after}
	}
	if g.free > 0 {
		g.free--
		g.open[client]++
		crowded := g.free == 0 && g.limits.Places > 1
		g.mu.Unlock()
		return &Place{gate: g, client: client, since: time.Now(), crowded: crowded}, nil
	}
	if due := g.dueLocked(g.waiting + 1); due > g.limits.Wait && g.waiting >= g.limits.Places {
		g.mu.Unlock()
		return nil, &Refused{After: due}
	}
	w := &waiter{ready: make(chan struct{}), since: time.Now()}
	g.open[client]++
	if len(g.queue[client]) == 0 {
		g.turn = append(g.turn, client)
	}
	g.queue[client] = append(g.queue[client], w)
	g.waiting++
	g.mu.Unlock()

	patience := time.NewTimer(g.limits.Wait)
	defer patience.Stop()
	var err error
	select {
	case <-w.ready:
		return g.seated(client), nil
	case <-ctx.Done():
		err = ctx.Err()
	case <-patience.C:
		err = &Refused{}
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	if !g.withdrawLocked(client, w) { // a place came in the same moment
		if ctx.Err() == nil {
			return g.seated(client), nil
		}
		g.leaveLocked(client)
		return nil, ctx.Err()
	}
	g.forgetLocked(client)
	if r, ok := err.(*Refused); ok {
		r.After = g.dueLocked(g.waiting + 1)
	}
	return nil, err
}

func (g *Gate) seated(client string) *Place {
	return &Place{gate: g, client: client, since: time.Now(), crowded: true}
}

// Leave gives the place back; a second call does nothing.
func (p *Place) Leave() {
	p.once.Do(func() {
		g := p.gate
		g.mu.Lock()
		defer g.mu.Unlock()
		const weight = 8 // of the last so many
		g.took += (time.Since(p.since) - g.took) / weight
		g.leaveLocked(p.client)
	})
}

// Crowded tells whether others worked or waited beside this place, so that the
// same question might be answered sooner at another time.
func (p *Place) Crowded() bool {
	p.gate.mu.Lock()
	defer p.gate.mu.Unlock()
	return p.crowded || p.gate.waiting > 0 || p.gate.limits.Places-p.gate.free > 1
}

// leaveLocked hands a place to the next in turn, or frees it.
func (g *Gate) leaveLocked(client string) {
	g.forgetLocked(client)
	if len(g.turn) == 0 {
		g.free++
		return
	}
	// of the waiting, the client with the fewest questions open; of equals, the first in turn
	best := 0
	for i := range g.turn {
		if g.workingLocked(g.turn[i]) < g.workingLocked(g.turn[best]) {
			best = i
		}
	}
	next := g.turn[best]
	w := g.queue[next][0]
	g.queue[next] = g.queue[next][1:]
	g.turn = append(g.turn[:best], g.turn[best+1:]...)
	if len(g.queue[next]) > 0 {
		g.turn = append(g.turn, next) // and to the end of the row
	} else {
		delete(g.queue, next)
	}
	g.waiting--
	close(w.ready)
}

// workingLocked counts the places a client holds.
func (g *Gate) workingLocked(client string) int { return g.open[client] - len(g.queue[client]) }

func (g *Gate) forgetLocked(client string) {
	if g.open[client]--; g.open[client] <= 0 {
		delete(g.open, client)
	}
}

// withdrawLocked takes a waiter out of the queue; false when it was served.
func (g *Gate) withdrawLocked(client string, w *waiter) bool {
	q := g.queue[client]
	for i := range q {
		if q[i] != w {
			continue
		}
		g.queue[client] = append(q[:i:i], q[i+1:]...)
		g.waiting--
		if len(g.queue[client]) == 0 {
			delete(g.queue, client)
			for k, c := range g.turn {
				if c == client {
					g.turn = append(g.turn[:k], g.turn[k+1:]...)
					break
				}
			}
		}
		return true
	}
	return false
}

// dueLocked is how long it takes until the n-th in the row has a place, in whole
// seconds, at least one.
func (g *Gate) dueLocked(n int) time.Duration {
	s := math.Ceil(float64(n) * g.took.Seconds() / float64(g.limits.Places))
	return time.Duration(max(1, min(s, 600))) * time.Second
}

// State is what a gate looks like at one moment.
type State struct{ Working, Waiting, Clients int }

// State tells how many are worked on and wait.
func (g *Gate) State() State {
	g.mu.Lock()
	defer g.mu.Unlock()
	return State{Working: g.limits.Places - g.free, Waiting: g.waiting, Clients: len(g.open)}
}
