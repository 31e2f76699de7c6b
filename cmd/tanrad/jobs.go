package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"github.com/tanrad/tanrad/api"
	"github.com/tanrad/tanrad/api/jobs"
)

// jobFlags say where jobs are kept and who works on them.
type jobFlags struct {
	broker jobs.Config
	store  int64 // MiB
	none   bool
	slots  int
}

func (j *jobFlags) flags(f *pflag.FlagSet) {
	f.StringVar(&j.broker.URL, "nats", "", "`address` of a NATS cluster with JetStream that keeps jobs, as nats://host:4222; without it they are kept in --data")
	f.StringVar(&j.broker.Token, "nats-token", "", "`secret` of the NATS cluster, or that workers of --jobs-listen must send; better given as TANRAD_NATS_TOKEN")
	f.DurationVar(&j.broker.Keep, "keep", 0, "how long jobs and their results are kept (default 24h)")
}

// stateDir is where a service keeps its files when it is not told: the directory
// systemd gives it, or the one of the user.
func stateDir() (string, error) {
	if dir := os.Getenv("STATE_DIRECTORY"); dir != "" {
		return filepath.Join(dir, "jobs"), nil
	}
	if dir := os.Getenv("XDG_STATE_HOME"); dir != "" {
		return filepath.Join(dir, "tanrad", "jobs"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(home, ".local", "state", "tanrad", "jobs"), nil
}

// open opens the broker of a service. Where nothing was said of jobs and they
// cannot be kept, the rest of the service works without them.
func (j *jobFlags) open(ctx context.Context, cfg *api.Config, asked bool) error {
	if j.none {
		return nil
	}
	var err error
	if j.broker.URL == "" && j.broker.Dir == "" {
		j.broker.Dir, err = stateDir()
	}
	if err == nil {
		j.broker.Store, j.broker.Log = j.store<<20, cfg.Log
		cfg.Jobs, err = jobs.Open(ctx, j.broker)
	}
	if err != nil && !asked {
		cfg.Log.Warn("jobs are not taken", "err", err)
		return nil
	}
	return err
}

// workers works on jobs beside a service until ctx ends; the returned function
// waits for the end.
func (j *jobFlags) workers(ctx context.Context, cfg api.Config, server *api.Server) (wait func()) {
	if cfg.Jobs == nil || j.slots <= 0 {
		return func() {}
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := cfg.Jobs.Work(ctx, j.slots, server.Worker().Do); err != nil {
			cfg.Log.Error("jobs: no worker", "err", err)
		}
	}()
	return func() { <-done }
}

func (s *session) work() *cobra.Command {
	var j jobFlags
	var l logging
	var cfg api.WorkerConfig
	var budget, memory int64
	c := &cobra.Command{
		Use:   "work",
		Short: "Work on jobs that a service took",
		Long: `work takes units of jobs from a broker and answers them until it gets SIGINT or
SIGTERM; units under way go back to the queue. As many may run as there are
machines. Flags may be given in the environment, as for tanrad serve.`,
		Example: "  tanrad work --nats nats://broker.example:4222 --slots 4",
		Args:    arguments(0, 0),
		PreRunE: func(c *cobra.Command, _ []string) error { return fromEnvironment(c.Flags()) },
		RunE: func(c *cobra.Command, _ []string) error {
			log, err := l.to(c.ErrOrStderr())
			if err != nil {
				return err
			}
			if j.broker.URL == "" {
				return usage{errors.New("--nats is needed: the address of the broker")}
			}
			cfg.Log, cfg.Budget, cfg.Memory = log, budget<<20, memory<<20
			j.broker.Log = log
			b, err := jobs.Open(c.Context(), j.broker)
			if err != nil {
				return err
			}
			defer b.Close()
			log.Info("ready", "slots", cfg.Slots)
			return b.Work(c.Context(), cfg.Slots, api.NewWorker(cfg).Do)
		},
	}
	f := c.Flags()
	j.flags(f)
	f.IntVar(&cfg.Slots, "slots", 1, "units worked on at once")
	f.DurationVar(&cfg.Longest, "longest", 30*time.Minute, "longest answer of one unit")
	f.Int64Var(&budget, "budget", 0, "`MiB` that solving one board may take (default 2048)")
	f.Int64Var(&memory, "memory", 0, "`MiB` of solved parts kept between boards (default 128)")
	l.flags(f)
	return c
}
