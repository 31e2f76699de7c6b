package main

import (
	"log/slog"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api"
)

func (s *session) serve() *cobra.Command {
	var cfg api.Config
	var verbose bool
	c := &cobra.Command{
		Use:   "serve",
		Short: "Serve the same answers over HTTP",
		Long: `serve listens until it gets SIGINT or SIGTERM, then lets running requests end.
The reference page is at /, a page to try a board at /try.`,
		Args: arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			level := slog.LevelInfo
			if verbose {
				level = slog.LevelDebug
			}
			cfg.Log = slog.New(slog.NewTextHandler(c.ErrOrStderr(), &slog.HandlerOptions{Level: level}))
			server, err := api.New(cfg)
			if err != nil {
				return err
			}
			return server.Run(c.Context())
		},
	}
	f := c.Flags()
	f.StringVar(&cfg.Addr, "addr", "127.0.0.1:8080", "`address` to listen on")
	f.StringVar(&cfg.DebugAddr, "debug-addr", "", "`address` for metrics and profiles, for the keeper only")
	f.IntVar(&cfg.Checks, "checks", 2, "board checks at once")
	f.IntVar(&cfg.Pieces, "pieces", 0, "most pieces of a board, each --refine counted fourfold (default 4000, about 1 GB a check)")
	f.DurationVar(&cfg.CheckTime, "check-time", 0, "longest board check (default 20s)")
	f.BoolVar(&verbose, "verbose", false, "log every request")
	return c
}
