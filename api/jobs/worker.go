package jobs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Do works on one unit of a job. The result needs no Unit. It must end soon when
// ctx does; what it gives then is thrown away.
type Do func(ctx context.Context, spec []byte, unit int, progress func(done, total int, what string)) Result

const (
	mostTries     = 5 // a unit that takes its worker down so often is given up
	progressEvery = 200 * time.Millisecond
	fetchWait     = time.Second // so long an idle worker takes to go; ended sooner, a unit just handed out would be lost for ackWait
	specsKept     = 8
)

// Work works on units until ctx ends, so many at once. Units under way at the end
// go back to the queue.
func (b *Broker) Work(ctx context.Context, slots int, do Do) error {
	c, err := b.work.CreateOrUpdateConsumer(ctx, jetstream.ConsumerConfig{Durable: workers, AckPolicy: jetstream.AckExplicitPolicy, AckWait: ackWait, MaxDeliver: -1, MaxAckPending: 10_000})
	if err != nil {
		return told(err)
	}
	w := &worker{b: b, do: do, specs: map[string][]byte{}}
	var group sync.WaitGroup
	for range slots {
		group.Go(func() { w.loop(ctx, c) })
	}
	group.Wait()
	return nil
}

type worker struct {
	b  *Broker
	do Do

	mu    sync.Mutex
	specs map[string][]byte
	order []string
}

func (w *worker) loop(ctx context.Context, c jetstream.Consumer) {
	for ctx.Err() == nil {
		batch, err := c.Fetch(1, jetstream.FetchMaxWait(fetchWait))
		if err == nil {
			for m := range batch.Messages() {
				w.one(ctx, m)
			}
			err = batch.Error()
		}
		if err != nil && !errors.Is(err, nats.ErrTimeout) && ctx.Err() == nil {
			w.b.cfg.Log.Debug("jobs: no work can be fetched", "err", err)
			select {
			case <-ctx.Done():
			case <-time.After(time.Second):
			}
		}
	}
}

// one works on one message; whatever goes wrong on the way, it is acknowledged
// only when its result is kept or nobody wants it any more.
func (w *worker) one(ctx context.Context, m jetstream.Msg) {
	var u unit
	log := w.b.cfg.Log
	if err := json.Unmarshal(m.Data(), &u); err != nil {
		log.Error("jobs: a message that is none", "err", err)
		_ = m.Term()
		return
	}
	again := func(err error) {
		if ctx.Err() == nil {
			log.Warn("jobs: a unit goes back to the queue", "job", u.Job, "unit", u.Unit, "err", err)
		}
		_ = m.NakWithDelay(time.Second) // without it the unit comes back by itself, later
	}
	r, err := w.b.record(ctx, u.Job)
	if errors.Is(err, ErrUnknown) || err == nil && r.Cancelled {
		_ = m.Term()
		return
	}
	if err != nil {
		again(err)
		return
	}
	if _, err := w.b.events.GetLastMsgForSubject(ctx, subject(u.Job, eventResult, u.Unit)); err == nil {
		_ = m.DoubleAck(ctx) // done before, by a worker whose word was lost
		return
	}
	spec, err := w.spec(ctx, u.Job)
	if err != nil {
		again(err)
		return
	}
	var result Result
	if meta, err := m.Metadata(); err == nil && meta.NumDelivered > mostTries {
		result = Result{Status: 500, Answer: json.RawMessage(fmt.Sprintf(`{"type":"/problems/internal","title":"Something went wrong here","status":500,"detail":"given up after %d tries"}`, mostTries))}
	} else {
		var wanted bool
		if result, wanted = w.work(ctx, m, u, spec); !wanted {
			if ctx.Err() != nil {
				_ = m.Nak()
			} else {
				_ = m.Term() // cancelled
			}
			return
		}
	}
	result.Unit = u.Unit
	if err := w.b.deliver(ctx, u.Job, result); err != nil {
		again(told(err))
		return
	}
	if err := m.DoubleAck(ctx); err != nil {
		log.Debug("jobs: the acknowledgement was lost", "err", err)
	}
}

// work does the unit while it marks the message as in progress and looks whether
// the job was cancelled. wanted is false when nobody waits for the result.
func (w *worker) work(ctx context.Context, m jetstream.Msg, u unit, spec []byte) (_ Result, wanted bool) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	_ = w.b.publish(ctx, u.Job, eventStarted, u.Unit, nil, true)
	var watching sync.WaitGroup
	watching.Go(func() {
		watch, err := w.b.records.Watch(ctx, u.Job) // with what stands there now: the word may have come before the watch
		var updates <-chan jetstream.KeyValueEntry
		if err == nil {
			defer func() { _ = watch.Stop() }()
			updates = watch.Updates()
		}
		mark := time.NewTicker(markEvery)
		defer mark.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-mark.C:
				_ = m.InProgress()
			case e, ok := <-updates:
				if !ok {
					updates = nil
					continue
				}
				var r record
				if e != nil && (e.Operation() != jetstream.KeyValuePut || json.Unmarshal(e.Value(), &r) == nil && r.Cancelled) {
					cancel()
				}
			}
		}
	})
	last := time.Time{}
	result := w.guarded(ctx, u, spec, func(done, total int, what string) {
		if now := time.Now(); now.Sub(last) >= progressEvery {
			last = now
			_ = w.b.publish(ctx, u.Job, eventProgress, u.Unit, Progress{u.Unit, done, total, what}, false)
		}
	})
	wanted = ctx.Err() == nil
	cancel()
	watching.Wait()
	return result, wanted
}

// guarded turns a panic into a failed unit: the same unit would panic anywhere.
func (w *worker) guarded(ctx context.Context, u unit, spec []byte, progress func(int, int, string)) (r Result) {
	defer func() {
		if p := recover(); p != nil {
			w.b.cfg.Log.Error("jobs: panic", "job", u.Job, "unit", u.Unit, "panic", p, "stack", string(debug.Stack()))
			r = Result{Status: 500, Answer: json.RawMessage(`{"type":"/problems/internal","title":"Something went wrong here","status":500}`)}
		}
	}()
	return w.do(ctx, spec, u.Unit, progress)
}

// spec gives what a job asks, from memory where the last units were of the same.
func (w *worker) spec(ctx context.Context, id string) ([]byte, error) {
	w.mu.Lock()
	spec, ok := w.specs[id]
	w.mu.Unlock()
	if ok {
		return spec, nil
	}
	o, err := w.b.data.Get(ctx, specName(id))
	if err != nil {
		return nil, err
	}
	defer o.Close()
	if spec, err = io.ReadAll(o); err != nil {
		return nil, err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if _, ok := w.specs[id]; !ok {
		w.specs[id] = spec
		if w.order = append(w.order, id); len(w.order) > specsKept {
			delete(w.specs, w.order[0])
			w.order = w.order[1:]
		}
	}
	return spec, nil
}

// Waiting counts the units in the queue and those being worked on.
func (b *Broker) Waiting(ctx context.Context) (int, error) {
	info, err := b.work.Info(ctx)
	if err != nil {
		return 0, told(err)
	}
	return int(info.State.Msgs), nil
}
