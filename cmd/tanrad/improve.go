package main

import (
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/report"
)

// improve searches for a better arrangement of the blocks.
func (s *session) improve() *cobra.Command {
	var out string
	var deadline time.Duration
	q := answer.ImproveQuery{}
	c := &cobra.Command{
		Use:   "improve [FILE]",
		Short: "Turn blocks until the board is as safe as it gets, and say which",
		Long: `Search for the arrangement with the smallest worst utilisation: blocks are turned
or turned over in their places, and sticks of a panel before it is glued, never so
that a cut face goes out of its line. Of a build sticks of one kind change places,
slices are laid otherwise and border strips turned where the picture stays, and waits
between glue-ups are longer or shorter where that gains a twentieth; --glued tells what
is too late for. Unlocked, woods are swapped for woods of the same colour group, and
blocks of equal outline change places. The figures before and after are those of
tanrad check with the same flags.

Equal seeds give equal boards, unless a deadline ends the search early; then the
best so far is told.`,
		Example: "  tanrad improve board.json --out better.json\n  tanrad improve board.json --turns 6\n  tanrad improve board.json --lock species --deadline 10s",
		Args:    arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			q.Deadline = deadline.Seconds()
			bar := newProgress(c.ErrOrStderr(), false)
			q.Progress = bar.show
			r, err := answer.Improve(c.Context(), src, q, nil)
			bar.end()
			if err != nil {
				return err
			}
			if out != "" {
				if err := os.WriteFile(out, append(r.Board, '\n'), 0o644); err != nil {
					return err
				}
			}
			return s.tell(r, func(w io.Writer) error { return report.Improvement(w, r) })
		},
	}
	f := c.Flags()
	f.StringSliceVar(&q.Lock, "lock", nil, "what stays: `species`, pattern (both when not given), or none")
	f.IntVar(&q.Turns, "turns", 0, "most `actions`: blocks, sticks and slices that may lie otherwise and the like, 0 for any number")
	f.IntVar(&q.Rounds, "rounds", 0, "`rounds` of the search, 0 for 8")
	f.DurationVar(&deadline, "deadline", 0, "end the search after this `time`, as 2s, and tell the best so far")
	f.IntVar(&q.Seed, "seed", 0, "of the search")
	conditionFlags(c, &q.BoardQuery)
	haveFlag(c, &q.Have)
	gluedFlag(c, &q.Glued)
	f.StringVar(&out, "out", "", "write the better board into this `file`")
	return c
}

// haveFlag takes the woods that lie in the shop.
func haveFlag(c *cobra.Command, have *[]string) {
	c.Flags().StringSliceVar(have, "have", nil, "`woods` in the shop: only these are swapped in; without it any, common ones first")
}

// gluedFlag takes the glue-ups of a build that are done.
func gluedFlag(c *cobra.Command, glued *[]string) {
	c.Flags().StringSliceVar(glued, "glued", nil, "`glue-ups` of a build that are done, as panel.A, field or b1: what is in them stays as it lies")
}

// windows tells what a board bears.
func (s *session) windows() *cobra.Command {
	var style report.Style
	q := answer.BoardQuery{}
	c := &cobra.Command{
		Use:   "windows [FILE]",
		Short: "What the board bears: air, change of moisture, size; for its care card",
		Args:  arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			v, err := answer.Windows(c.Context(), src, q, nil)
			if err != nil {
				return err
			}
			return s.tell(v, func(w io.Writer) error { return report.Windows(w, v, style) })
		},
	}
	f := c.Flags()
	f.StringVar(&q.Home, "home", "", "named `climate` instead of the board's own home")
	f.IntVar(&q.Refine, "refine", 0, "halve every element this many `times`, 0 to 2")
	f.BoolVar(&style.Inches, "inches", false, "tell lengths in inches")
	return c
}

// advise tells what would help a board.
func (s *session) advise() *cobra.Command {
	q := answer.AdviceQuery{}
	c := &cobra.Command{
		Use:   "advise [FILE]",
		Short: "What would help the board: single changes, each worked out anew",
		Args:  arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			a, err := answer.Advice(c.Context(), src, q, nil)
			if err != nil {
				return err
			}
			return s.tell(a, func(w io.Writer) error { return report.Advice(w, a) })
		},
	}
	conditionFlags(c, &q.BoardQuery)
	c.Flags().IntVar(&q.Seed, "seed", 0, "of the search for blocks to turn")
	haveFlag(c, &q.Have)
	gluedFlag(c, &q.Glued)
	return c
}
