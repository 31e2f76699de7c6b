package jobs

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func open(t *testing.T, cfg Config) *Broker {
	t.Helper()
	if cfg.Dir == "" && cfg.URL == "" {
		cfg.Dir = t.TempDir()
	}
	b, err := Open(t.Context(), cfg)
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

// employ runs workers until the test or the returned function ends.
func employ(t *testing.T, b *Broker, slots int, do Do) (dismiss func()) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { defer close(done); assert.NoError(t, b.Work(ctx, slots, do)) }()
	var once sync.Once
	dismiss = func() { once.Do(func() { cancel(); <-done }) }
	t.Cleanup(dismiss)
	return dismiss
}

func echo(ctx context.Context, spec []byte, unit int, progress func(int, int, string)) Result {
	progress(1, 2, "half way")
	body, _ := json.Marshal(fmt.Sprintf("%s %d", spec, unit))
	return Result{Status: 200, Answer: body}
}

// follow reads a whole log.
func follow(t *testing.T, b *Broker, id string, after uint64) (events []Event) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 60*time.Second)
	defer cancel()
	require.NoError(t, b.Follow(ctx, "me", id, after, func(e *Event) error {
		if e != nil {
			events = append(events, *e)
		}
		return nil
	}))
	return events
}

func TestJobsComeBackWithTheirResults(t *testing.T) {
	b := open(t, Config{})
	j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("hello"), Units: 20})
	require.NoError(t, err)
	assert.Equal(t, Queued, j.State)
	employ(t, b, 3, echo)
	events := follow(t, b, j.ID, 0)
	results := map[int]int{}
	for i, e := range events {
		if i > 0 {
			assert.GreaterOrEqual(t, e.Seq, events[i-1].Seq)
		}
		if e.Result != nil {
			results[e.Result.Unit]++
			assert.Equal(t, fmt.Sprintf(`"hello %d"`, e.Result.Unit), string(e.Result.Answer))
		}
	}
	assert.Len(t, results, 20)
	last := events[len(events)-1]
	require.Equal(t, "end", last.Kind)
	assert.Equal(t, Done, last.Job.State)
	r, err := b.Result(t.Context(), "me", j.ID, 7)
	require.NoError(t, err)
	assert.Equal(t, `"hello 7"`, string(r.Answer))
	_, err = b.Find(t.Context(), "somebody else", j.ID)
	assert.ErrorIs(t, err, ErrUnknown)
	for _, id := range []string{"", "nothing", strings.Repeat("0", 24), "*", "a.b"} {
		_, err = b.Find(t.Context(), "me", id)
		assert.ErrorIs(t, err, ErrUnknown, id)
	}
	assert.Eventually(t, func() bool { // the last acknowledgement comes after the last result
		n, err := b.Waiting(t.Context())
		return err == nil && n == 0
	}, 10*time.Second, 10*time.Millisecond)
	// reading goes on where it stopped
	middle := events[len(events)/2].Seq
	for _, e := range follow(t, b, j.ID, middle) {
		assert.True(t, e.Seq > middle || e.Kind == "end")
	}
}

func TestTheSameKeyIsTheSameJob(t *testing.T) {
	b := open(t, Config{})
	order := Order{Kind: "echo", Client: "me", Key: "k1", Spec: []byte("x"), Units: 3}
	first, err := b.Submit(t.Context(), order)
	require.NoError(t, err)
	again, err := b.Submit(t.Context(), order)
	require.NoError(t, err)
	assert.Equal(t, first.ID, again.ID)
	other := order
	other.Spec = []byte("y")
	_, err = b.Submit(t.Context(), other)
	assert.ErrorIs(t, err, ErrConflict)
	other.Client = "you"
	yours, err := b.Submit(t.Context(), other)
	require.NoError(t, err)
	assert.NotEqual(t, first.ID, yours.ID)
	n, err := b.Waiting(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 6, n)
}

func TestCancel(t *testing.T) {
	b := open(t, Config{})
	begun, told := make(chan struct{}), make(chan struct{})
	var n atomic.Int32
	employ(t, b, 1, func(ctx context.Context, _ []byte, unit int, _ func(int, int, string)) Result {
		if n.Add(1) == 1 {
			return Result{Status: 200, Answer: []byte(`1`)}
		}
		close(begun)
		<-ctx.Done()
		close(told)
		return Result{Status: 200}
	})
	j, err := b.Submit(t.Context(), Order{Kind: "slow", Client: "me", Spec: []byte("x"), Units: 50})
	require.NoError(t, err)
	<-begun
	_, err = b.Cancel(t.Context(), "you", j.ID)
	assert.ErrorIs(t, err, ErrUnknown)
	j, err = b.Cancel(t.Context(), "me", j.ID)
	require.NoError(t, err)
	assert.Equal(t, Cancelled, j.State)
	select {
	case <-told:
	case <-time.After(5 * time.Second):
		t.Fatal("the unit under way was never told")
	}
	events := follow(t, b, j.ID, 0)
	assert.Equal(t, Cancelled, events[len(events)-1].Job.State)
	assert.Equal(t, 1, events[len(events)-1].Job.Done)
	_, err = b.Result(t.Context(), "me", j.ID, 3)
	assert.ErrorIs(t, err, ErrNever)
	require.Eventually(t, func() bool { n, err := b.Waiting(t.Context()); return err == nil && n == 0 }, 10*time.Second, 50*time.Millisecond)
	assert.EqualValues(t, 2, n.Load())
}

// Files outlive the engine: what was accepted is done after a restart, what was
// done stays done.
func TestARestartLosesNothing(t *testing.T) {
	dir := t.TempDir()
	b := open(t, Config{Dir: dir})
	var ids []string
	for i := range 5 {
		j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte(fmt.Sprint(i)), Units: 4})
		require.NoError(t, err)
		ids = append(ids, j.ID)
	}
	var n atomic.Int32
	dismiss := employ(t, b, 1, func(ctx context.Context, spec []byte, unit int, p func(int, int, string)) Result {
		n.Add(1)
		return echo(ctx, spec, unit, p)
	})
	require.Eventually(t, func() bool { return n.Load() >= 7 }, 20*time.Second, time.Millisecond)
	dismiss()
	b.Close()
	b = open(t, Config{Dir: dir})
	employ(t, b, 2, echo)
	for i, id := range ids {
		results := 0
		for _, e := range follow(t, b, id, 0) {
			if e.Result != nil {
				results++
				assert.Equal(t, fmt.Sprintf(`"%d %d"`, i, e.Result.Unit), string(e.Result.Answer))
			}
		}
		assert.Equal(t, 4, results)
	}
}

func TestLargeAnswersAndPanics(t *testing.T) {
	b := open(t, Config{})
	large := append(append([]byte{'"'}, bytes.Repeat([]byte("x"), 3<<20)...), '"')
	employ(t, b, 2, func(_ context.Context, _ []byte, unit int, _ func(int, int, string)) Result {
		if unit == 0 {
			return Result{Status: 200, Answer: large}
		}
		panic("a fault of ours")
	})
	j, err := b.Submit(t.Context(), Order{Kind: "x", Client: "me", Spec: []byte("x"), Units: 2})
	require.NoError(t, err)
	events := follow(t, b, j.ID, 0)
	end := events[len(events)-1].Job
	assert.Equal(t, 2, end.Done)
	assert.Equal(t, 1, end.Failed)
	r, err := b.Result(t.Context(), "me", j.ID, 0)
	require.NoError(t, err)
	assert.Equal(t, len(large), len(r.Answer))
	r, err = b.Result(t.Context(), "me", j.ID, 1)
	require.NoError(t, err)
	assert.Equal(t, 500, r.Status)
	assert.NotContains(t, string(r.Answer), "a fault of ours")
}

// A full store refuses what comes and keeps what it has.
func TestAFullStoreRefusesAndLosesNothing(t *testing.T) {
	b := open(t, Config{Store: 4 << 20})
	var kept []string
	var refused error
	for range 40 {
		j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: bytes.Repeat([]byte("s"), 300_000), Units: 1})
		if err != nil {
			refused = err
			break
		}
		kept = append(kept, j.ID)
	}
	require.ErrorIs(t, refused, ErrFull)
	require.NotEmpty(t, kept)
	for _, id := range kept {
		j, err := b.Find(t.Context(), "me", id)
		require.NoError(t, err)
		assert.Equal(t, 1, j.Units)
	}
}

// A disk that is nearly full takes no job, and what was accepted still gets its results.
func TestANearlyFullDiskTakesNoJob(t *testing.T) {
	b := open(t, Config{})
	j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("x"), Units: 3})
	require.NoError(t, err)
	b.free = func(string) int64 { return spare + 10 }
	_, err = b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("longer than ten"), Units: 1})
	require.ErrorIs(t, err, ErrFull)
	employ(t, b, 1, echo)
	require.Eventually(t, func() bool {
		now, err := b.Find(t.Context(), "me", j.ID)
		return err == nil && now.State == Done
	}, 10*time.Second, 20*time.Millisecond)
	assert.Positive(t, freeBytes(t.TempDir()))
}

// A job is kept for its time, whatever that is, and then nobody knows it.
func TestExpiredJobsAreGone(t *testing.T) {
	b := open(t, Config{Keep: 500 * time.Millisecond})
	employ(t, b, 1, echo)
	j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("x"), Units: 1})
	require.NoError(t, err)
	assert.Equal(t, 500*time.Millisecond, j.Expires.Sub(j.Created))
	require.Eventually(t, func() bool { _, err := b.Find(t.Context(), "me", j.ID); return errors.Is(err, ErrUnknown) }, 10*time.Second, 50*time.Millisecond)
	_, err = b.Result(t.Context(), "me", j.ID, 0)
	assert.ErrorIs(t, err, ErrUnknown)
	_, err = b.Cancel(t.Context(), "me", j.ID)
	assert.ErrorIs(t, err, ErrUnknown)
	assert.ErrorIs(t, b.Follow(t.Context(), "me", j.ID, 0, func(*Event) error { return nil }), ErrUnknown)
}

// Two processes cannot have one directory, and an address where nobody listens is
// told at once.
func TestWhatCannotBeOpenedIsTold(t *testing.T) {
	_, err := Open(t.Context(), Config{})
	assert.Error(t, err)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	addr := ln.Addr().String()
	ln.Close()
	began := time.Now()
	_, err = Open(t.Context(), Config{URL: "nats://secret@" + addr})
	require.Error(t, err)
	assert.Contains(t, err.Error(), addr)
	assert.NotContains(t, err.Error(), "secret")
	assert.Less(t, time.Since(began), 10*time.Second)
}

// Workers elsewhere take part over the network, and outlive a broker that goes
// and comes back.
func TestWorkersElsewhere(t *testing.T) {
	dir := t.TempDir()
	b, err := Open(t.Context(), Config{Dir: dir, Listen: "127.0.0.1:0", Token: "pssst"})
	require.NoError(t, err)
	url := b.Address()
	_, err = Open(t.Context(), Config{URL: url})
	assert.Error(t, err, "without the token")
	far := open(t, Config{URL: url, Token: "pssst"})
	employ(t, far, 1, echo)
	j, err := b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("a"), Units: 5})
	require.NoError(t, err)
	follow(t, b, j.ID, 0)
	b.Close()
	require.Eventually(t, func() bool { return !far.conn.IsConnected() }, 10*time.Second, 10*time.Millisecond)
	b = open(t, Config{Dir: dir, Listen: strings.TrimPrefix(url, "nats://"), Token: "pssst"})
	j, err = b.Submit(t.Context(), Order{Kind: "echo", Client: "me", Spec: []byte("b"), Units: 5})
	require.NoError(t, err)
	events := follow(t, b, j.ID, 0)
	assert.Equal(t, Done, events[len(events)-1].Job.State)
}

// Of a unit begun twice, progress only goes forward, and nothing follows a result.
func TestProgressOnlyGoesForward(t *testing.T) {
	b := open(t, Config{})
	j, err := b.Submit(t.Context(), Order{Kind: "x", Client: "me", Spec: []byte("x"), Units: 1})
	require.NoError(t, err)
	for _, done := range []int{1, 2, 3, 1, 2, 4} {
		require.NoError(t, b.publish(t.Context(), j.ID, eventProgress, 0, Progress{0, done, 5, ""}, false))
	}
	require.NoError(t, b.deliver(t.Context(), j.ID, Result{Status: 200, Answer: []byte(`"first"`)}))
	require.NoError(t, b.deliver(t.Context(), j.ID, Result{Status: 200, Answer: []byte(`"second"`)}))
	require.NoError(t, b.publish(t.Context(), j.ID, eventProgress, 0, Progress{0, 5, 5, ""}, false))
	var told []string
	for _, e := range follow(t, b, j.ID, 0) {
		switch {
		case e.Progress != nil:
			told = append(told, fmt.Sprint(e.Progress.Done))
		case e.Result != nil:
			told = append(told, string(e.Result.Answer))
		}
	}
	assert.Equal(t, []string{"1", "2", "3", "4", `"first"`}, told)
}
