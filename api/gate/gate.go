// Package gate shares a few places for work fairly among many clients.
//
// Whoever is let in gets a place soon or is sent away at once: the row before the
// places is short, so that an answer comes in a small multiple of the time the work
// takes, whatever the crowd. A client alone may line up all it likes, as long as it
// does not wait in vain; others go before its second question. Waiting clients take
// turns, whoever is worked for least being served first among equals.
package gate

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"time"
)

// Limits of a gate. All must be positive.
type Limits struct {
	Places    int           // questions worked on at once
	Wait      time.Duration // longest wait for a place
	PerClient int           // questions of one client unanswered, waiting or worked on
	Expect    time.Duration // how long a question takes, until some have been seen
}

// row is how many questions may be let in for each place beyond the one that is worked on.
const row = 1

// moment is a wait that nobody minds, s: so long the row may be for what is quickly done.
const moment = 0.1

// Gate is a set of places. It is safe for concurrent use.
type Gate struct {
	limits  Limits
	before  *Gate // whose work counts against these places; nil for none
	after   *Gate // whose places these count against
	working atomic.Int64
	waiting atomic.Int64

	mu     sync.Mutex
	took   time.Duration        // running mean of the time a place was held
	open   map[string]int       // tickets by client
	inside int                  // all of them
	queue  map[string][]*Ticket // by client, first come first
	turn   []string             // clients with a queue, the next to be served first
}

// New makes a gate with all places free.
func New(l Limits) *Gate {
	return &Gate{limits: l, took: l.Expect, open: map[string]int{}, queue: map[string][]*Ticket{}}
}

// Beside lets the work of another gate count against the places of this one, all but
// the last, so that both together keep to the cores there are. It is called once,
// before either gate is used.
func (g *Gate) Beside(other *Gate) { g.before, other.after = other, g }

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

// Ticket is a question that was let in. It holds a place between Wait and Leave.
type Ticket struct {
	gate    *Gate
	client  string
	since   time.Time // when it got its place; zero while it has none
	crowded bool
	gone    bool
	ready   chan struct{} // closed when it has a place or was sent away for another
}

// Take lets a question in, or sends it away at once with *Refused.
func (g *Gate) Take(client string) (*Ticket, error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.open[client] >= g.limits.PerClient {
		return nil, &Refused{Own: true, After: g.dueLocked(len(g.queue[client]) + 1)}
	}
	if g.inside >= g.placesLocked()*(1+row) && !g.soonLocked() && !g.aloneLocked(client) && !g.displaceLocked(client) {
		return nil, &Refused{After: g.dueLocked(int(g.waiting.Load()) + 1)}
	}
	g.open[client]++
	g.inside++
	return &Ticket{gate: g, client: client, ready: make(chan struct{})}, nil
}

// soonLocked tells whether one more would get its place in a moment that nobody minds.
func (g *Gate) soonLocked() bool { return g.secondsLocked(g.inside+1-g.placesLocked()) < moment }

// aloneLocked tells whether nobody but the client is there, and one more would get its
// place in the time allowed.
func (g *Gate) aloneLocked(client string) bool {
	return len(g.open) == 1 && g.open[client] > 0 && g.secondsLocked(g.inside+1-g.placesLocked()) < g.limits.Wait.Seconds()
}

// displaceLocked sends the newest question in the row away of a client that has more
// than one, for a client that has none.
func (g *Gate) displaceLocked(client string) bool {
	if g.open[client] > 0 {
		return false
	}
	most := ""
	for _, c := range g.turn {
		if g.open[c] > 1 && g.open[c] > g.open[most] {
			most = c
		}
	}
	if most == "" {
		return false
	}
	t := g.queue[most][len(g.queue[most])-1]
	g.withdrawLocked(t)
	g.forgetLocked(t)
	close(t.ready)
	return true
}

// Wait waits for a place. The error is *Refused or that of the context; then the ticket
// is worth nothing any more.
func (t *Ticket) Wait(ctx context.Context) error {
	g := t.gate
	g.mu.Lock()
	if len(g.turn) == 0 && g.roomLocked() {
		g.seatLocked(t)
		t.crowded = !g.roomLocked() && g.limits.Places > 1
		g.mu.Unlock()
		return nil
	}
	if len(g.queue[t.client]) == 0 {
		g.turn = append(g.turn, t.client)
	}
	g.queue[t.client] = append(g.queue[t.client], t)
	g.waiting.Add(1)
	g.mu.Unlock()

	patience := time.NewTimer(g.limits.Wait)
	defer patience.Stop()
	var err error
	select {
	case <-t.ready:
	case <-ctx.Done():
		err = ctx.Err()
	case <-patience.C:
		err = &Refused{}
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	switch {
	case t.gone: // for another
		return &Refused{After: g.dueLocked(int(g.waiting.Load()) + 1)}
	case !t.since.IsZero():
		t.crowded = true
		if err = ctx.Err(); err != nil { // a place came in the same moment
			g.leaveLocked(t)
		}
		return err
	}
	g.withdrawLocked(t)
	g.forgetLocked(t)
	if r, ok := err.(*Refused); ok {
		r.After = g.dueLocked(int(g.waiting.Load()) + 1)
	}
	return err
}

// Leave gives the ticket back, and the place with it; a second call does nothing.
func (t *Ticket) Leave() {
	g := t.gate
	g.mu.Lock()
	g.leaveLocked(t)
	g.mu.Unlock()
	if g.after != nil { // a place there may be free again
		g.after.mu.Lock()
		g.after.callLocked()
		g.after.mu.Unlock()
	}
}

func (g *Gate) leaveLocked(t *Ticket) {
	if t.gone {
		return
	}
	if !t.since.IsZero() {
		const weight = 8 // of the last so many
		g.took += (time.Since(t.since) - g.took) / weight
		g.working.Add(-1)
	}
	g.forgetLocked(t)
	g.callLocked()
}

// Crowded tells whether others worked or waited beside this place, so that the
// same question might be answered sooner at another time.
func (t *Ticket) Crowded() bool {
	t.gate.mu.Lock()
	defer t.gate.mu.Unlock()
	return t.crowded || t.gate.waiting.Load() > 0 || t.gate.working.Load() > 1
}

// placesLocked is how many places there are beside the work that counts against them.
func (g *Gate) placesLocked() int {
	if g.before == nil {
		return g.limits.Places
	}
	return max(1, g.limits.Places-int(g.before.working.Load()))
}

// roomLocked tells whether a place is free.
func (g *Gate) roomLocked() bool { return int(g.working.Load()) < g.placesLocked() }

func (g *Gate) seatLocked(t *Ticket) {
	t.since = time.Now()
	g.working.Add(1)
}

// callLocked gives what places are free to the next in turn.
func (g *Gate) callLocked() {
	for len(g.turn) > 0 && g.roomLocked() {
		// of the waiting, the client worked for least; of equals, the first in turn
		best := 0
		for i := range g.turn {
			if g.workingLocked(g.turn[i]) < g.workingLocked(g.turn[best]) {
				best = i
			}
		}
		next := g.turn[best]
		t := g.queue[next][0]
		g.queue[next] = g.queue[next][1:]
		g.turn = slices.Delete(g.turn, best, best+1)
		if len(g.queue[next]) > 0 {
			g.turn = append(g.turn, next) // and to the end of the row
		} else {
			delete(g.queue, next)
		}
		g.waiting.Add(-1)
		g.seatLocked(t)
		close(t.ready)
	}
}

// workingLocked counts the tickets of a client that do not wait.
func (g *Gate) workingLocked(client string) int { return g.open[client] - len(g.queue[client]) }

func (g *Gate) forgetLocked(t *Ticket) {
	t.gone = true
	g.inside--
	if g.open[t.client]--; g.open[t.client] <= 0 {
		delete(g.open, t.client)
	}
}

// withdrawLocked takes a waiting ticket out of the row.
func (g *Gate) withdrawLocked(t *Ticket) {
	q := slices.DeleteFunc(g.queue[t.client], func(o *Ticket) bool { return o == t })
	g.queue[t.client] = q
	g.waiting.Add(-1)
	if len(q) == 0 {
		delete(g.queue, t.client)
		g.turn = slices.DeleteFunc(g.turn, func(c string) bool { return c == t.client })
	}
}

// secondsLocked is how long it takes until the n-th in the row has a place.
func (g *Gate) secondsLocked(n int) float64 {
	return float64(n) * g.took.Seconds() / float64(g.placesLocked())
}

// dueLocked is the same in whole seconds, at least one.
func (g *Gate) dueLocked(n int) time.Duration {
	return time.Duration(max(1, min(math.Ceil(g.secondsLocked(n)), 600))) * time.Second
}

// State is what a gate looks like at one moment.
type State struct{ Working, Waiting, Clients int }

// State tells how many are worked on and wait.
func (g *Gate) State() State {
	g.mu.Lock()
	defer g.mu.Unlock()
	return State{Working: int(g.working.Load()), Waiting: int(g.waiting.Load()), Clients: len(g.open)}
}
