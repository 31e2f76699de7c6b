package main

import (
	"fmt"
	"log/slog"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"github.com/tanrad/tanrad/api"
)

// envPrefix begins the name of the environment variable that stands for a flag:
// --check-time is TANRAD_CHECK_TIME. A flag on the command line wins.
const envPrefix = "TANRAD_"

func (s *session) serve() *cobra.Command {
	var cfg api.Config
	var l logging
	var keys, traces string
	var budget, memory, boards, answers int64
	var j jobFlags
	c := &cobra.Command{
		Use:   "serve",
		Short: "Serve the same answers over HTTP",
		Long: `serve listens until it gets SIGINT or SIGTERM, then lets running requests end.
The bench, where a board is drawn and mended, is at /, the reference at /reference.

Every flag may be given as a variable of the environment instead, in capitals
with TANRAD_ before it: --check-time 30s is TANRAD_CHECK_TIME=30s.`,
		Args:    arguments(0, 0),
		PreRunE: func(c *cobra.Command, _ []string) error { return fromEnvironment(c.Flags()) },
		RunE: func(c *cobra.Command, _ []string) error {
			log, err := l.to(c.ErrOrStderr())
			if err != nil {
				return err
			}
			cfg.Log, cfg.Budget, cfg.Memory, cfg.Boards, cfg.Answers = log, budget<<20, memory<<20, boards<<20, answers<<20
			if keys != "" {
				text, err := os.ReadFile(keys)
				if err != nil {
					return err
				}
				if cfg.Keys, err = api.ReadKeys(text); err != nil {
					return err
				}
			}
			if traces != "" {
				end, err := sendTraces(c.Context(), &cfg, traces)
				if err != nil {
					return err
				}
				defer end()
			}
			f := c.Flags()
			asked := f.Changed("nats") || f.Changed("data") || f.Changed("jobs-listen")
			if err := j.open(c.Context(), &cfg, asked); err != nil {
				return err
			}
			if cfg.Jobs != nil {
				defer cfg.Jobs.Close()
				if at := cfg.Jobs.Address(); at != "" {
					log.Info("jobs: workers may come", "nats", at)
				}
			}
			server, err := api.New(cfg)
			if err != nil {
				return err
			}
			server.BoundMemory()
			wait := j.workers(c.Context(), cfg, server)
			defer wait()
			return server.Run(c.Context())
		},
	}
	f := c.Flags()
	f.StringVar(&cfg.Addr, "addr", "127.0.0.1:8080", "`address` to listen on")
	f.StringVar(&cfg.DebugAddr, "debug-addr", "", "`address` for metrics and profiles, for the keeper only")
	f.IntVar(&cfg.Checks, "checks", 0, "heavy questions worked on at once (default one less than cores, at least 1)")
	f.IntVar(&cfg.Quick, "quick", 0, "quick questions worked on at once, beside the heavy ones (default one a core)")
	f.IntVar(&cfg.PerClient, "per-client", 0, "questions of one client unanswered at once, of each kind (default 16)")
	f.DurationVar(&cfg.CheckTime, "check-time", 0, "longest answer (default 20s)")
	f.DurationVar(&cfg.QueueTime, "queue-time", 0, "longest wait for a place (default 5s)")
	f.Int64Var(&budget, "budget", 0, "`MiB` that solving one board may take (default 2048)")
	f.Int64Var(&memory, "memory", 0, "`MiB` of solved parts kept between boards (default 128)")
	f.Int64Var(&boards, "boards", 0, "`MiB` of whole solved boards held for the next edit (default 512)")
	f.Int64Var(&answers, "answers", 0, "`MiB` of answers and board files kept for whoever asks the same again or edits (default 32)")
	f.DurationVar(&cfg.Grace, "grace", 0, "longest wait for running requests at the end (default --check-time)")
	f.DurationVar(&cfg.Drain, "drain", 0, "how long /readyz says no before anything ends, for a balancer")
	f.StringSliceVar(&cfg.Origins, "allow-origin", nil, "`origin` whose pages may ask, as https://app.example, or * for any; may repeat")
	f.StringVar(&traces, "traces", "", "`address` that takes OpenTelemetry spans by OTLP over HTTP, as http://127.0.0.1:4318")
	f.StringVar(&keys, "keys", "", "`file` of keys, see tanrad key; whoever asks must send one")
	f.BoolVar(&cfg.Open, "open", false, "ask for no key on an address that others can reach")
	j.flags(f)
	f.StringVar(&j.broker.Dir, "data", "", "`directory` in which jobs are kept (default that of the system for state)")
	f.Int64Var(&j.store, "data-size", 0, "`MiB` of files of jobs (default 1024)")
	f.StringVar(&j.broker.Listen, "jobs-listen", "", "`address` at which workers of other processes may come; see tanrad work")
	f.IntVar(&j.slots, "job-workers", 1, "units of jobs worked on at once in this process")
	f.BoolVar(&j.none, "no-jobs", false, "take no jobs")
	l.flags(f)
	return c
}

// logging says how much a long-running command tells, and how.
type logging struct {
	format  string
	verbose bool
}

func (l *logging) flags(f *pflag.FlagSet) {
	f.StringVar(&l.format, "log", "text", "`form` of the log: text or json")
	f.BoolVar(&l.verbose, "verbose", false, "log every request")
}

func (l *logging) to(w interface{ Write([]byte) (int, error) }) (*slog.Logger, error) {
	o := &slog.HandlerOptions{}
	if l.verbose {
		o.Level = slog.LevelDebug
	}
	switch l.format {
	case "text":
		return slog.New(slog.NewTextHandler(w, o)), nil
	case "json":
		return slog.New(slog.NewJSONHandler(w, o)), nil
	}
	return nil, usage{fmt.Errorf("--log %q: allowed text, json", l.format)}
}

// variableOf is the variable of the environment that stands for a flag.
func variableOf(f *pflag.Flag) string {
	return envPrefix + strings.ToUpper(strings.ReplaceAll(f.Name, "-", "_"))
}

// fromEnvironment takes flags that were not given from the environment.
func fromEnvironment(f *pflag.FlagSet) error {
	var wrong error
	f.VisitAll(func(flag *pflag.Flag) {
		name := variableOf(flag)
		if text, given := os.LookupEnv(name); given && !flag.Changed && wrong == nil {
			if err := f.Set(flag.Name, text); err != nil {
				wrong = usage{fmt.Errorf("%s=%s: %w", name, text, err)}
			}
		}
	})
	return wrong
}

func (s *session) key() *cobra.Command {
	return &cobra.Command{
		Use:   "key NAME",
		Short: "Make a key for tanrad serve --keys",
		Long: `key prints a line for the key file, and the secret of the key below it. The
secret is kept nowhere; the file holds its digest only.`,
		Args: arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			k, secret, err := api.NewKey(args[0])
			if err != nil {
				return usage{err}
			}
			_, err = fmt.Fprintf(c.OutOrStdout(), "%v\n# secret, for its owner only: %s\n", k, secret)
			return err
		},
	}
}
