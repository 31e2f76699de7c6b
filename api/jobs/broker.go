// Package jobs keeps long questions and many of them on NATS JetStream: a queue
// of units of work with explicit acknowledgement, redelivery and marks of
// progress, an event log of each job, and a store for what is large. The engine
// runs inside the process with its files in a directory, or is a cluster outside.
//
// What a unit means is its caller's business: the package moves bytes.
//
// A job that was accepted is in files: a restart of anything loses none. A unit
// may be worked on twice when a worker dies, but has one result: its event is
// only taken when its subject is empty.
package jobs

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Config says where the engine is. The zero value is not usable: give a
// directory or an address.
type Config struct {
	URL    string        // of an outside cluster, "nats://host:4222"; "" runs the engine inside
	Dir    string        // files of the engine inside
	Listen string        // address at which the engine inside takes workers of other processes; "" takes none
	Token  string        // secret of the engine inside, and of the one outside where its URL has none
	Store  int64         // bytes of files of the engine inside; 0 is 1 GiB
	Keep   time.Duration // how long jobs and their results are kept; 0 is 24 h
	Log    *slog.Logger
}

// Names of what is kept. Streams of a cluster may be shared with others.
const (
	workStream  = "TANRAD_WORK"
	eventStream = "TANRAD_EVENTS"
	workSubject = "tanrad.work."  // and the job
	eventPrefix = "tanrad.event." // and the job, the kind of event, the unit
	recordStore = "tanrad_jobs"
	keyStore    = "tanrad_keys"
	dataStore   = "tanrad_data"
	workers     = "workers"
)

const (
	ackWait    = 15 * time.Second // a unit whose worker says nothing for so long goes to another
	markEvery  = 4 * time.Second
	startTime  = 20 * time.Second
	maxUnits   = 200_000 // waiting, of all jobs
	duplicates = 5 * time.Minute
)

// Broker is a connection to the engine.
type Broker struct {
	cfg     Config
	inside  *server.Server
	conn    *nats.Conn
	js      jetstream.JetStream
	work    jetstream.Stream
	events  jetstream.Stream
	records jetstream.KeyValue
	keys    jetstream.KeyValue
	data    jetstream.ObjectStore
	free    func(dir string) int64 // bytes on its disk
}

// Open starts the engine inside, or connects to the one outside, and makes what
// is missing there.
func Open(ctx context.Context, cfg Config) (_ *Broker, err error) {
	if cfg.Keep <= 0 {
		cfg.Keep = 24 * time.Hour
	}
	if cfg.Store <= 0 {
		cfg.Store = 1 << 30
	}
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	b := &Broker{cfg: cfg, free: freeBytes}
	defer func() {
		if err != nil {
			b.Close()
		}
	}()
	options := []nats.Option{nats.Name("tanrad"), nats.MaxReconnects(-1), nats.ReconnectWait(500 * time.Millisecond),
		nats.DisconnectErrHandler(func(_ *nats.Conn, err error) {
			if err != nil { // else we closed it ourselves
				cfg.Log.Warn("jobs: the broker is gone, trying again", "err", err)
			}
		}),
		nats.ReconnectHandler(func(*nats.Conn) { cfg.Log.Info("jobs: the broker is back") })}
	if cfg.Token != "" {
		options = append(options, nats.Token(cfg.Token))
	}
	address := cfg.URL
	if address == "" {
		if err := b.start(); err != nil {
			return nil, err
		}
		options = append(options, nats.InProcessServer(b.inside))
	}
	if b.conn, err = nats.Connect(address, options...); err != nil {
		return nil, fmt.Errorf("jobs: no broker at %s: %w", shown(address), err)
	}
	if b.js, err = jetstream.New(b.conn); err != nil {
		return nil, fmt.Errorf("jobs: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, startTime)
	defer cancel()
	if err := b.make(ctx); err != nil {
		return nil, fmt.Errorf("jobs: %s does not offer what is needed (JetStream with files): %w", shown(address), err)
	}
	return b, nil
}

// shown is an address as it may be told: without a secret.
func shown(address string) string {
	if address == "" {
		return "the engine inside"
	}
	for i := len(address) - 1; i >= 0; i-- {
		if address[i] == '@' {
			return "nats://…@" + address[i+1:]
		}
	}
	return address
}

func (b *Broker) start() error {
	if b.cfg.Dir == "" {
		return errors.New("jobs: neither a directory nor the address of a broker was given")
	}
	o := &server.Options{ServerName: "tanrad", JetStream: true, StoreDir: b.cfg.Dir, JetStreamMaxStore: b.cfg.Store, JetStreamMaxMemory: 64 << 20,
		SyncAlways: true, NoSigs: true, DontListen: b.cfg.Listen == "", MaxPayload: 4 << 20, Authorization: b.cfg.Token}
	if b.cfg.Listen != "" {
		host, port, err := hostPort(b.cfg.Listen)
		if err != nil {
			return fmt.Errorf("jobs: address for workers %q: %w", b.cfg.Listen, err)
		}
		o.Host, o.Port = host, port
	}
	unlock, err := lock(b.cfg.Dir)
	if err != nil {
		return fmt.Errorf("jobs: directory %s: %w", b.cfg.Dir, err)
	}
	s, err := server.NewServer(o)
	if err != nil {
		unlock()
		return fmt.Errorf("jobs: %w", err)
	}
	b.inside = s
	s.SetLoggerV2(engineLog{b.cfg.Log}, false, false, false)
	s.Start()
	if !s.ReadyForConnections(startTime) {
		return fmt.Errorf("jobs: the engine inside did not start within %v: its address may be taken, its files damaged", startTime)
	}
	return nil
}

func (b *Broker) make(ctx context.Context) (err error) {
	if b.work, err = b.js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{Name: workStream, Subjects: []string{workSubject + "*"}, Retention: jetstream.WorkQueuePolicy,
		MaxMsgs: maxUnits, MaxAge: b.cfg.Keep, Discard: jetstream.DiscardNew, Duplicates: min(duplicates, b.cfg.Keep), Storage: jetstream.FileStorage}); err != nil {
		return err
	}
	if b.events, err = b.js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{Name: eventStream, Subjects: []string{eventPrefix + ">"}, Retention: jetstream.LimitsPolicy,
		MaxAge: b.cfg.Keep, Discard: jetstream.DiscardNew, Duplicates: min(duplicates, b.cfg.Keep), Storage: jetstream.FileStorage, AllowDirect: true}); err != nil {
		return err
	}
	if b.records, err = b.js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: recordStore, TTL: b.cfg.Keep}); err != nil {
		return err
	}
	if b.keys, err = b.js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: keyStore, TTL: b.cfg.Keep}); err != nil {
		return err
	}
	b.data, err = b.js.CreateOrUpdateObjectStore(ctx, jetstream.ObjectStoreConfig{Bucket: dataStore, TTL: b.cfg.Keep})
	return err
}

// Address is where the engine inside takes workers, "" when it takes none.
func (b *Broker) Address() string {
	if b.inside == nil || b.cfg.Listen == "" {
		return ""
	}
	return b.inside.ClientURL()
}

// Close ends the connection and the engine inside.
func (b *Broker) Close() {
	if b.conn != nil {
		b.conn.Close()
	}
	if b.inside != nil {
		b.inside.Shutdown()
		b.inside.WaitForShutdown()
	}
}

// engineLog passes on what the engine finds worth a warning.
type engineLog struct{ log *slog.Logger }

func (l engineLog) Noticef(string, ...any) {}
func (l engineLog) Debugf(string, ...any)  {}
func (l engineLog) Tracef(string, ...any)  {}
func (l engineLog) Warnf(format string, v ...any) {
	l.log.Warn("jobs engine: " + fmt.Sprintf(format, v...))
}
func (l engineLog) Errorf(format string, v ...any) {
	l.log.Error("jobs engine: " + fmt.Sprintf(format, v...))
}
func (l engineLog) Fatalf(format string, v ...any) {
	l.log.Error("jobs engine: " + fmt.Sprintf(format, v...))
}
