package jobs

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Errors that a client can do something about.
var (
	ErrUnknown  = errors.New("jobs: no such job, or it has expired")
	ErrConflict = errors.New("jobs: this idempotency key belongs to another request")
	ErrFull     = errors.New("jobs: there is no room for further jobs")
	ErrAway     = errors.New("jobs: the broker cannot be reached")
)

// States of a job.
const (
	Queued    = "queued"
	Running   = "running"
	Done      = "done"
	Cancelled = "cancelled"
)

// Order is a job handed in.
type Order struct {
	Kind   string // told again in the job
	Client string // who hands it in; only the same client may see it
	Key    string // idempotency key, "" for none
	Spec   []byte // what workers get, whole
	Units  int    // parts that are worked on one by one
}

// record is what is kept of a job beside its spec.
type record struct {
	ID        string    `json:"id"`
	Kind      string    `json:"kind"`
	Client    string    `json:"client"`
	Units     int       `json:"units"`
	Created   time.Time `json:"created"`
	Digest    string    `json:"digest"`
	Accepted  bool      `json:"accepted"` // all units stand in the queue
	Cancelled bool      `json:"cancelled"`
}

// Job is a job as it stands.
type Job struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"`
	State   string    `json:"state"`
	Units   int       `json:"units"`
	Done    int       `json:"done"`
	Failed  int       `json:"failed"` // of those that are done
	Created time.Time `json:"created"`
	Expires time.Time `json:"expires"`
}

// unit is a message of the work queue.
type unit struct {
	Job  string `json:"job"`
	Unit int    `json:"unit"`
}

// Submit takes a job. When it returns without an error the job is in files. The
// same key with the same order gives the same job.
func (b *Broker) Submit(ctx context.Context, o Order) (*Job, error) {
	if err := b.room(int64(len(o.Spec))); err != nil {
		return nil, err
	}
	sum := sha256.Sum256(append([]byte(o.Kind+"\x00"), o.Spec...))
	r := &record{ID: newID(), Kind: o.Kind, Client: o.Client, Units: o.Units, Created: time.Now().UTC(), Digest: hex.EncodeToString(sum[:])}
	if o.Key != "" {
		old, err := b.claim(ctx, o, r)
		if err != nil {
			return nil, err
		}
		if old != nil {
			return b.stand(ctx, old)
		}
	}
	if _, err := b.data.Put(ctx, jetstream.ObjectMeta{Name: specName(r.ID)}, bytes.NewReader(o.Spec)); err != nil {
		return nil, told(err)
	}
	if err := b.save(ctx, r); err != nil {
		return nil, told(err)
	}
	if err := b.enqueue(ctx, r); err != nil {
		b.forget(r)
		return nil, told(err)
	}
	r.Accepted = true
	if err := b.save(ctx, r); err != nil {
		return nil, told(err)
	}
	return b.stand(ctx, r)
}

// spare is what stays free on the disk of the engine inside, bytes: results of what was
// accepted need room, and an engine that once met a full disk stores nothing more until
// it is started anew.
const spare = 64 << 20

// room tells whether the disk has it for a job. The error is ErrFull.
func (b *Broker) room(bytes int64) error {
	if b.inside == nil {
		return nil
	}
	if free := b.free(b.cfg.Dir); free < spare+bytes {
		return fmt.Errorf("%w: %d MB are free on the disk", ErrFull, free>>20)
	}
	return nil
}

// claim binds an idempotency key to a job that is about to be made. It gives the
// job the key belongs to already, or the id under which one was begun.
func (b *Broker) claim(ctx context.Context, o Order, r *record) (*record, error) {
	name := sha256.Sum256([]byte(o.Client + "\x00" + o.Key))
	key := hex.EncodeToString(name[:])
	if _, err := b.keys.Create(ctx, key, []byte(r.ID)); err == nil {
		return nil, nil
	} else if !errors.Is(err, jetstream.ErrKeyExists) {
		return nil, told(err)
	}
	entry, err := b.keys.Get(ctx, key)
	if err != nil {
		return nil, told(err)
	}
	old, err := b.record(ctx, string(entry.Value()))
	switch {
	case errors.Is(err, ErrUnknown): // begun, and not come further than the key
		r.ID = string(entry.Value())
		return nil, nil
	case err != nil:
		return nil, err
	case old.Digest != r.Digest:
		return nil, ErrConflict
	case !old.Accepted:
		r.ID, r.Created = old.ID, old.Created
		return nil, nil
	}
	return old, nil
}

// enqueue publishes the units, many on the way at once, and waits for all.
func (b *Broker) enqueue(ctx context.Context, r *record) error {
	var pending []jetstream.PubAckFuture
	for i := range r.Units {
		body, err := json.Marshal(unit{r.ID, i})
		if err != nil {
			return err
		}
		f, err := b.js.PublishMsgAsync(&nats.Msg{Subject: workSubject + r.ID, Data: body}, jetstream.WithMsgID(r.ID+"."+strconv.Itoa(i)))
		if err != nil {
			return err
		}
		pending = append(pending, f)
	}
	for _, f := range pending {
		select {
		case <-f.Ok():
		case err := <-f.Err():
			return err
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// forget takes back what was kept of a job that could not be taken.
func (b *Broker) forget(r *record) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	_ = b.work.Purge(ctx, jetstream.WithPurgeSubject(workSubject+r.ID)) // what stays is passed over by workers, and expires
	_ = b.records.Purge(ctx, r.ID)
	_ = b.data.Delete(ctx, specName(r.ID))
}

func (b *Broker) save(ctx context.Context, r *record) error {
	body, err := json.Marshal(r)
	if err != nil {
		return err
	}
	_, err = b.records.Put(ctx, r.ID, body)
	return err
}

func (b *Broker) record(ctx context.Context, id string) (*record, error) {
	if !plain(id) {
		return nil, ErrUnknown
	}
	entry, err := b.records.Get(ctx, id)
	if errors.Is(err, jetstream.ErrKeyNotFound) {
		return nil, ErrUnknown
	}
	if err != nil {
		return nil, told(err)
	}
	r := &record{}
	return r, json.Unmarshal(entry.Value(), r)
}

// own is record for the client that handed the job in; others learn nothing.
func (b *Broker) own(ctx context.Context, client, id string) (*record, error) {
	r, err := b.record(ctx, id)
	if err == nil && (r.Client != client || !r.Accepted) {
		return nil, ErrUnknown
	}
	return r, err
}

// Find gives a job of a client as it stands.
func (b *Broker) Find(ctx context.Context, client, id string) (*Job, error) {
	r, err := b.own(ctx, client, id)
	if err != nil {
		return nil, err
	}
	return b.stand(ctx, r)
}

// stand counts what has come of a job: results are events on subjects of their own.
func (b *Broker) stand(ctx context.Context, r *record) (*Job, error) {
	j := &Job{ID: r.ID, Kind: r.Kind, Units: r.Units, State: Queued, Created: r.Created, Expires: r.Created.Add(b.cfg.Keep)}
	count := func(kind string) (int, error) {
		info, err := b.events.Info(ctx, jetstream.WithSubjectFilter(eventPrefix+r.ID+"."+kind+".*"))
		if err != nil {
			return 0, told(err)
		}
		return len(info.State.Subjects), nil
	}
	var err error
	if j.Done, err = count(eventResult); err != nil {
		return nil, err
	}
	if j.Failed, err = count(eventFailed); err != nil {
		return nil, err
	}
	started, err := count(eventStarted)
	if err != nil {
		return nil, err
	}
	switch {
	case j.Done == j.Units:
		j.State = Done
	case r.Cancelled:
		j.State = Cancelled
	case started > 0:
		j.State = Running
	}
	return j, nil
}

// Cancel ends a job: units that wait are not begun, those under way are told.
// Results that have come stay. To cancel what is done changes nothing.
func (b *Broker) Cancel(ctx context.Context, client, id string) (*Job, error) {
	r, err := b.own(ctx, client, id)
	if err != nil {
		return nil, err
	}
	if j, err := b.stand(ctx, r); err != nil || j.State == Done || r.Cancelled {
		return j, err
	}
	r.Cancelled = true
	if err := b.save(ctx, r); err != nil {
		return nil, told(err)
	}
	if err := b.work.Purge(ctx, jetstream.WithPurgeSubject(workSubject+id)); err != nil {
		return nil, told(err)
	}
	if err := b.publish(ctx, id, eventCancelled, 0, nil, true); err != nil {
		return nil, told(err)
	}
	return b.stand(ctx, r)
}

// told turns errors of the engine into those a client can do something about.
func told(err error) error {
	var api *jetstream.APIError
	var js jetstream.JetStreamError
	if errors.As(err, &js) && js.APIError() != nil {
		api = js.APIError()
	} else {
		errors.As(err, &api)
	}
	if api != nil {
		switch api.ErrorCode {
		case 10047, 10077, 10023, 10122, 10028: // no room of one kind or another
			return fmt.Errorf("%w: %s", ErrFull, api.Description)
		case 10008, 10039, 10076: // the engine is not able to work just now
			return fmt.Errorf("%w: %s", ErrAway, api.Description)
		}
		return err
	}
	for _, away := range []error{jetstream.ErrAsyncPublishTimeout, nats.ErrNoResponders, nats.ErrConnectionClosed, nats.ErrDisconnected, nats.ErrTimeout, jetstream.ErrNoStreamResponse, jetstream.ErrConnectionClosed,
		jetstream.ErrTooManyStalledMsgs, nats.ErrConnectionReconnecting, context.DeadlineExceeded} {
		if errors.Is(err, away) {
			return fmt.Errorf("%w: %v", ErrAway, err)
		}
	}
	return err
}

func specName(id string) string { return "spec." + id }

func newID() string {
	var b [12]byte
	_, _ = rand.Read(b[:]) // never fails, see crypto/rand
	return hex.EncodeToString(b[:])
}

// plain tells whether an id can be part of a subject.
func plain(id string) bool {
	if len(id) != 24 {
		return false
	}
	_, err := hex.DecodeString(id)
	return err == nil
}
