package jobs

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Kinds of events, part of their subjects.
const (
	eventStarted   = "started"
	eventProgress  = "progress"
	eventResult    = "result"
	eventFailed    = "failed"
	eventCancelled = "cancelled"
)

// Progress is how far a unit has come.
type Progress struct {
	Unit  int    `json:"unit"`
	Done  int    `json:"done"`
	Total int    `json:"total"`
	What  string `json:"what,omitempty"`
}

// Result is what came of a unit.
type Result struct {
	Unit   int             `json:"unit"`
	Status int             `json:"status"`           // of HTTP, as the unit's own route would have answered
	Answer json.RawMessage `json:"answer,omitempty"` // or the problem; absent when it is large and kept apart
	Large  bool            `json:"large,omitempty"`  // fetch it by its unit
}

// inline is the longest answer that travels in its event, bytes.
const inline = 128 << 10

// Event is one entry of the log of a job.
type Event struct {
	Seq      uint64 // grows; reading may go on after it
	Kind     string // "progress", "result", "end"
	Progress *Progress
	Result   *Result
	Job      *Job // of "end"
}

func subject(id, kind string, unit int) string {
	return eventPrefix + id + "." + kind + "." + strconv.Itoa(unit)
}

// publish adds an event; once means that only the first on its subject counts.
func (b *Broker) publish(ctx context.Context, id, kind string, unit int, v any, once bool) error {
	body := []byte("{}")
	if v != nil {
		var err error
		if body, err = json.Marshal(v); err != nil {
			return err
		}
	}
	var options []jetstream.PublishOpt
	if once {
		options = append(options, jetstream.WithExpectLastSequencePerSubject(0))
	}
	_, err := b.js.PublishMsg(ctx, &nats.Msg{Subject: subject(id, kind, unit), Data: body}, options...)
	var api *jetstream.APIError
	if once && errors.As(err, &api) && (api.ErrorCode == jetstream.JSErrCodeStreamWrongLastSequence || api.ErrorCode == jetstream.JSErrCodeStreamWrongLastSequenceConstant) {
		return nil // somebody was first
	}
	return err
}

// deliver keeps the result of a unit, unless it has one.
func (b *Broker) deliver(ctx context.Context, id string, r Result) error {
	if len(r.Answer) > inline {
		name := resultName(id, r.Unit)
		if _, err := b.data.Put(ctx, jetstream.ObjectMeta{Name: name}, bytes.NewReader(r.Answer)); err != nil {
			return err
		}
		r.Answer, r.Large = nil, true
	}
	if r.Status >= 400 { // first, so that a job that is done tells all its failures
		if err := b.publish(ctx, id, eventFailed, r.Unit, nil, true); err != nil {
			return err
		}
	}
	return b.publish(ctx, id, eventResult, r.Unit, r, true)
}

func resultName(id string, unit int) string { return "result." + id + "." + strconv.Itoa(unit) }

// What there is to say of a unit that has no result.
var (
	ErrNotYet = errors.New("jobs: this part has no result yet")
	ErrNever  = errors.New("jobs: this part has no result: the job was cancelled")
	ErrNoPart = errors.New("jobs: the job has no such part")
)

// Result gives what came of one unit of a client's job, whole.
func (b *Broker) Result(ctx context.Context, client, id string, unit int) (*Result, error) {
	r, err := b.own(ctx, client, id)
	if err != nil {
		return nil, err
	}
	if unit < 0 || unit >= r.Units {
		return nil, ErrNoPart
	}
	m, err := b.events.GetLastMsgForSubject(ctx, subject(id, eventResult, unit))
	if errors.Is(err, jetstream.ErrMsgNotFound) {
		if r.Cancelled {
			return nil, ErrNever
		}
		return nil, ErrNotYet
	}
	if err != nil {
		return nil, told(err)
	}
	return b.whole(ctx, id, m.Data)
}

func (b *Broker) whole(ctx context.Context, id string, body []byte) (*Result, error) {
	out := &Result{}
	if err := json.Unmarshal(body, out); err != nil {
		return nil, fmt.Errorf("jobs: %w", err)
	}
	if !out.Large {
		return out, nil
	}
	o, err := b.data.Get(ctx, resultName(id, out.Unit))
	if err != nil {
		return nil, told(err)
	}
	defer o.Close()
	if out.Answer, err = io.ReadAll(o); err != nil {
		return nil, fmt.Errorf("jobs: %w", err)
	}
	out.Large = false
	return out, nil
}

// beat is how often a quiet log is looked at for its end.
const beat = time.Second

// Follow tells the log of a client's job from after a sequence number on, in its
// order, until the job has ended, ctx ends, or tell returns an error. Of a unit
// that was begun again progress is told only where it is further than before, and
// none after its result. At quiet moments tell is called with nil.
func (b *Broker) Follow(ctx context.Context, client, id string, after uint64, tell func(*Event) error) error {
	r, err := b.own(ctx, client, id)
	if err != nil {
		return err
	}
	c, err := b.events.OrderedConsumer(ctx, jetstream.OrderedConsumerConfig{FilterSubjects: []string{eventPrefix + id + ".>"}, DeliverPolicy: jetstream.DeliverAllPolicy})
	if err != nil {
		return told(err)
	}
	done, best := map[int]bool{}, map[int]int{}
	end := func(seq uint64) (bool, error) {
		j, err := b.Find(ctx, client, id)
		if err != nil || j.State != Done && j.State != Cancelled {
			return false, err
		}
		return true, tell(&Event{Seq: seq, Kind: "end", Job: j})
	}
	seq := after
	for {
		batch, err := c.Fetch(64, jetstream.FetchMaxWait(beat))
		if err != nil {
			return told(err)
		}
		quiet := true
		for m := range batch.Messages() {
			quiet = false
			meta, err := m.Metadata()
			if err != nil {
				return fmt.Errorf("jobs: %w", err)
			}
			e, err := read(m.Subject(), m.Data())
			if err != nil {
				return err
			}
			cancelled := e != nil && e.Kind == eventCancelled
			// what was told before is read again, to know how far each unit had come
			if e != nil && !cancelled && !stale(e, done, best) && meta.Sequence.Stream > after {
				e.Seq = meta.Sequence.Stream
				if err := tell(e); err != nil {
					return err
				}
			}
			seq = max(seq, meta.Sequence.Stream)
			if len(done) == r.Units || cancelled {
				if ended, err := end(seq); ended || err != nil {
					return err
				}
			}
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := batch.Error(); err != nil && !errors.Is(err, nats.ErrTimeout) && !errors.Is(err, jetstream.ErrNoHeartbeat) {
			return told(err)
		}
		if quiet {
			if err := tell(nil); err != nil {
				return err
			}
			if ended, err := end(seq); ended || err != nil {
				return err
			}
		}
	}
}

// stale tells whether an event says nothing new, and notes it when it does.
func stale(e *Event, done map[int]bool, best map[int]int) bool {
	switch {
	case e.Result != nil:
		was := done[e.Result.Unit]
		done[e.Result.Unit] = true
		return was
	case e.Progress != nil:
		p := e.Progress
		if done[p.Unit] || p.Done <= best[p.Unit] {
			return true
		}
		best[p.Unit] = p.Done
	}
	return false
}

// read gives an event by its subject; nil for one that is not told.
func read(subject string, body []byte) (*Event, error) {
	parts := strings.Split(subject, ".")
	e := &Event{Kind: parts[len(parts)-2]}
	switch e.Kind {
	case eventProgress:
		e.Progress = &Progress{}
		return e, json.Unmarshal(body, e.Progress)
	case eventResult:
		e.Result = &Result{}
		return e, json.Unmarshal(body, e.Result)
	case eventCancelled:
		return e, nil
	}
	return nil, nil
}
