package gate

import (
	"context"
	"errors"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func limits() Limits {
	return Limits{Places: 1, Wait: 10 * time.Second, PerClient: 5, Expect: time.Second}
}

// One client with a row of questions does not keep out one with a single one.
func TestClientsTakeTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(limits())
		first, err := g.Enter(t.Context(), "many")
		require.NoError(t, err)
		var mu sync.Mutex
		var order []string
		ask := func(client string) {
			go func() {
				p, err := g.Enter(t.Context(), client)
				if err != nil {
					return
				}
				mu.Lock()
				order = append(order, client)
				mu.Unlock()
				time.Sleep(time.Second)
				p.Leave()
			}()
			synctest.Wait()
		}
		for range 4 {
			ask("many")
		}
		ask("one")
		assert.Equal(t, State{Working: 1, Waiting: 5, Clients: 2}, g.State())
		first.Leave()
		time.Sleep(8 * time.Second)
		synctest.Wait()
		assert.Equal(t, "one", order[1], "%v", order)
		assert.Len(t, order, 5)
		assert.Equal(t, State{}, g.State())
	})
}

// A client may have only so many questions unanswered.
func TestOneClientIsBounded(t *testing.T) {
	g := New(Limits{Places: 3, Wait: time.Second, PerClient: 2, Expect: time.Second})
	a, err := g.Enter(t.Context(), "x")
	require.NoError(t, err)
	_, err = g.Enter(t.Context(), "x")
	require.NoError(t, err)
	_, err = g.Enter(t.Context(), "x")
	var r *Refused
	require.ErrorAs(t, err, &r)
	assert.True(t, r.Own)
	assert.GreaterOrEqual(t, r.After, time.Second)
	b, err := g.Enter(t.Context(), "y")
	require.NoError(t, err, "another has room")
	b.Leave()
	b.Leave()
	a.Leave()
	assert.Equal(t, State{Working: 1, Clients: 1}, g.State())
}

// The time to come back follows what questions take.
func TestRefusalsTellWhenToComeBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(limits())
		for range 40 { // ten seconds each
			p, err := g.Enter(t.Context(), "x")
			require.NoError(t, err)
			time.Sleep(10 * time.Second)
			p.Leave()
		}
		p, err := g.Enter(t.Context(), "x")
		require.NoError(t, err)
		assert.False(t, p.Crowded())
		var refused *Refused
		go func() {
			_, err := g.Enter(t.Context(), "y")
			errors.As(err, &refused)
		}()
		synctest.Wait()
		assert.True(t, p.Crowded(), "one waits")
		began := time.Now()
		_, err = g.Enter(t.Context(), "z") // the second in the row has no chance within ten seconds
		var r *Refused
		require.ErrorAs(t, err, &r)
		assert.False(t, r.Own)
		assert.InDelta(t, 20, r.After.Seconds(), 1)
		assert.Zero(t, time.Since(began), "at once")
		time.Sleep(11 * time.Second)
		synctest.Wait()
		require.NotNil(t, refused)
		assert.InDelta(t, 10, refused.After.Seconds(), 1)
		p.Leave()
		assert.Equal(t, State{}, g.State())
	})
}

// Whoever goes away while waiting leaves nothing behind.
func TestGoneClientsLeaveTheRow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(limits())
		p, err := g.Enter(t.Context(), "x")
		require.NoError(t, err)
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 2)
		for range 2 {
			go func() { _, err := g.Enter(ctx, "y"); done <- err }()
		}
		synctest.Wait()
		assert.Equal(t, 2, g.State().Waiting)
		cancel()
		assert.ErrorIs(t, <-done, context.Canceled)
		assert.ErrorIs(t, <-done, context.Canceled)
		assert.Equal(t, State{Working: 1, Clients: 1}, g.State())
		p.Leave()
		assert.Equal(t, State{}, g.State())
	})
}

// Places are never lent twice nor lost, whatever comes and goes.
func TestPlacesAreNeitherDoubledNorLost(t *testing.T) {
	g := New(Limits{Places: 3, Wait: 5 * time.Millisecond, PerClient: 4, Expect: time.Millisecond})
	var wg sync.WaitGroup
	var mu sync.Mutex
	busy, most := 0, 0
	for i := range 64 {
		wg.Go(func() {
			for k := range 50 {
				ctx, cancel := context.WithTimeout(t.Context(), time.Duration(k%7)*time.Millisecond)
				p, err := g.Enter(ctx, string(rune('a'+i%16)))
				if err == nil {
					mu.Lock()
					busy++
					most = max(most, busy)
					mu.Unlock()
					time.Sleep(time.Duration(k%3) * 100 * time.Microsecond)
					mu.Lock()
					busy--
					mu.Unlock()
					p.Leave()
				}
				cancel()
			}
		})
	}
	wg.Wait()
	assert.LessOrEqual(t, most, 3)
	assert.Equal(t, State{}, g.State())
}
