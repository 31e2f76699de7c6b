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

// enter lets a question in and waits for its place.
func enter(ctx context.Context, g *Gate, client string) (*Ticket, error) {
	t, err := g.Take(client)
	if err == nil {
		err = t.Wait(ctx)
	}
	return t, err
}

// One client with a row of questions does not keep out one with a single one.
func TestClientsTakeTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(limits())
		first, err := enter(t.Context(), g, "many")
		require.NoError(t, err)
		var mu sync.Mutex
		var order []string
		ask := func(client string) {
			go func() {
				p, err := enter(t.Context(), g, client)
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
		assert.Equal(t, State{Working: 1, Waiting: 4, Clients: 2}, g.State())
		first.Leave()
		time.Sleep(8 * time.Second)
		synctest.Wait()
		assert.Equal(t, []string{"many", "one", "many", "many"}, order, "the newest of many went for the one")
		assert.Equal(t, State{}, g.State())
	})
}

// A client may have only so many questions unanswered.
func TestOneClientIsBounded(t *testing.T) {
	g := New(Limits{Places: 3, Wait: time.Second, PerClient: 2, Expect: time.Second})
	a, err := enter(t.Context(), g, "x")
	require.NoError(t, err)
	_, err = enter(t.Context(), g, "x")
	require.NoError(t, err)
	_, err = enter(t.Context(), g, "x")
	var r *Refused
	require.ErrorAs(t, err, &r)
	assert.True(t, r.Own)
	assert.GreaterOrEqual(t, r.After, time.Second)
	b, err := enter(t.Context(), g, "y")
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
			p, err := enter(t.Context(), g, "x")
			require.NoError(t, err)
			time.Sleep(10 * time.Second)
			p.Leave()
		}
		p, err := enter(t.Context(), g, "x")
		require.NoError(t, err)
		assert.False(t, p.Crowded())
		var refused *Refused
		go func() {
			_, err := enter(t.Context(), g, "y")
			errors.As(err, &refused)
		}()
		synctest.Wait()
		assert.True(t, p.Crowded(), "one waits")
		began := time.Now()
		_, err = enter(t.Context(), g, "z") // the row is full
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
		p, err := enter(t.Context(), g, "x")
		require.NoError(t, err)
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 2)
		for range 2 {
			go func() { _, err := enter(ctx, g, "x"); done <- err }()
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
				p, err := enter(ctx, g, string(rune('a'+i%16)))
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

// A crowd is sent away at once, before its questions are read, so that whoever is let in
// waits for no more than another question.
func TestTheRowIsShort(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(Limits{Places: 2, Wait: 10 * time.Second, PerClient: 5, Expect: time.Second})
		var wg sync.WaitGroup
		var mu sync.Mutex
		in, longest := 0, time.Duration(0)
		for i := range 20 {
			wg.Go(func() {
				began := time.Now()
				p, err := enter(t.Context(), g, string(rune('a'+i)))
				if err != nil {
					assert.Zero(t, time.Since(began))
					return
				}
				time.Sleep(time.Second)
				p.Leave()
				mu.Lock()
				defer mu.Unlock()
				in++
				longest = max(longest, time.Since(began))
			})
		}
		wg.Wait()
		assert.Equal(t, 4, in)
		assert.Equal(t, 2*time.Second, longest)
	})
}

// Where heavy work takes places the row is as short as for those that are left; what is
// done in a moment may have a longer one.
func TestTheRowIsShortBesideOtherWork(t *testing.T) {
	for expect, want := range map[time.Duration]int{time.Second: 2, 20 * time.Millisecond: 5} {
		synctest.Test(t, func(t *testing.T) {
			l := Limits{Places: 2, Wait: 10 * time.Second, PerClient: 5, Expect: expect}
			heavy, quick := New(l), New(l)
			quick.Beside(heavy)
			h, err := enter(t.Context(), heavy, "h")
			require.NoError(t, err)
			in := 0
			for i := range 20 {
				if _, err := quick.Take(string(rune('a' + i))); err == nil {
					in++
				}
			}
			assert.Equal(t, want, in, "%v each", expect)
			h.Leave()
		})
	}
}

// A client by itself may line up as many as it likes, while they do not wait in vain.
func TestAloneARowIsLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(Limits{Places: 1, Wait: 3 * time.Second, PerClient: 16, Expect: time.Second})
		var wg sync.WaitGroup
		var mu sync.Mutex
		in := 0
		for range 10 {
			wg.Go(func() {
				p, err := enter(t.Context(), g, "alone")
				if err != nil {
					return
				}
				time.Sleep(time.Second)
				p.Leave()
				mu.Lock()
				in++
				mu.Unlock()
			})
			synctest.Wait()
		}
		wg.Wait()
		assert.Equal(t, 3, in)
		assert.Equal(t, State{}, g.State())
	})
}

// Two gates beside each other keep to the cores there are, and one place is always left.
func TestBeside(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := limits()
		l.Places = 3
		heavy, quick := New(l), New(l)
		quick.Beside(heavy)
		var held []*Ticket
		for range 2 {
			p, err := enter(t.Context(), heavy, "h")
			require.NoError(t, err)
			held = append(held, p)
		}
		first, err := enter(t.Context(), quick, "q")
		require.NoError(t, err, "one place is left")
		seated := make(chan struct{})
		go func() {
			p, err := enter(t.Context(), quick, "q")
			assert.NoError(t, err)
			close(seated)
			time.Sleep(time.Second)
			p.Leave()
		}()
		synctest.Wait()
		assert.Equal(t, 1, quick.State().Waiting, "the cores are taken")
		held[0].Leave()
		<-seated
		assert.Equal(t, 2, quick.State().Working)
		held[1].Leave()
		first.Leave()
		time.Sleep(2 * time.Second)
		assert.Equal(t, State{}, quick.State())
		assert.Equal(t, State{}, heavy.State())
	})
}

// Heavy work stands aside while quick work goes on, for no longer than it has worked, and
// not for a crowd.
func TestPolite(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		quick := New(limits())
		stop, cancel := context.WithCancel(t.Context())
		ctx := quick.Polite(stop)
		aside := func() time.Duration {
			began := time.Now()
			_ = ctx.Err()
			return time.Since(began)
		}
		time.Sleep(time.Second)
		assert.Zero(t, aside(), "nobody is there")
		p, err := enter(t.Context(), quick, "q")
		require.NoError(t, err)
		assert.Equal(t, mostAside, aside(), "but no longer")
		assert.Zero(t, aside(), "it has to get on as well")
		time.Sleep(30 * time.Millisecond)
		go func() { time.Sleep(10 * time.Millisecond); p.Leave() }()
		assert.InDelta(t, 10, aside().Milliseconds(), 1, "until the quick one is done")
		p, err = enter(t.Context(), quick, "q")
		require.NoError(t, err)
		time.Sleep(30 * time.Millisecond)
		go func() { time.Sleep(10 * time.Millisecond); cancel() }()
		assert.InDelta(t, 10, aside().Milliseconds(), 1, "or it has to end itself")
		assert.ErrorIs(t, ctx.Err(), context.Canceled)
		ctx = quick.Polite(t.Context())
		go func() { _, _ = enter(t.Context(), quick, "r") }()
		synctest.Wait()
		time.Sleep(time.Second)
		assert.Zero(t, aside(), "a crowd waits")
		p.Leave()
		synctest.Wait()
	})
}
