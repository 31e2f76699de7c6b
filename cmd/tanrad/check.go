package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/report"
	"github.com/tanrad/tanrad/pkg/window"
)

// maxFile bounds what is read from a file or from standard input.
const maxFile = 10 << 20

func (s *session) check() *cobra.Command {
	var svg, failAt string
	var style report.Style
	var none, long bool
	q := answer.BoardQuery{}
	c := &cobra.Command{
		Use:   "check [FILE]",
		Short: "Check a board file (- reads standard input, no file checks a demonstration board)",
		Example: `  tanrad check board.json --svg board.svg
  tanrad check board.json --exposure standard --exposure flat-on-wet-counter
  tanrad check board.json --air 45@21 --air cellar=75@14
  tanrad check board.json --why r1c2`,
		Args: arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			if failAt != "" && check.Verdict(failAt).Severity() == 0 {
				return usage{fmt.Errorf("--fail-at %q: allowed tight, doubtful, fails", failAt)}
			}
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			if none {
				q.Exposures = append(q.Exposures, "none")
			}
			shown := newProgress(c.ErrOrStderr(), false)
			q.Progress = shown.show
			b, r, tell, err := s.told(c.Context(), src, q, style, long, shown)
			shown.end()
			if err != nil {
				return err
			}
			if svg != "" {
				drawn, err := picture.Layout(b, r)
				if err != nil {
					return err
				}
				if err := os.WriteFile(svg, drawn, 0o644); err != nil {
					return err
				}
			}
			if err := s.tell(answer.Stamp(r), tell); err != nil {
				return err
			}
			if len(args) == 0 && !s.json {
				fmt.Fprintln(c.ErrOrStderr(), "tanrad: see the board with tanrad draw --out board.svg, or draw and mend it in a browser with tanrad serve")
			}
			if failAt != "" && r.Verdict.Severity() >= check.Verdict(failAt).Severity() {
				return errFailAt
			}
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&svg, "svg", "", "also draw the board into this `file`")
	f.StringVar(&failAt, "fail-at", "", "exit with 3 when the verdict is this `word` or worse: tight, doubtful, fails")
	conditionFlags(c, &q)
	f.BoolVar(&none, "no-exposures", false, "leave histories (washing, seasons) out; the same as --exposure none")
	f.StringVar(&q.Explain, "why", "", "derive numbers step by step with their sources: of a joint, of the worst joint of a piece, of a `word`: worst, line, end, split, check, flat, glue, chance, size, elastic, causes, crushing, responses, stages, at_once; with @ in one state or exposure")
	f.IntVar(&q.Series, "series", 0, "most points of each time series in the JSON")
	f.BoolVar(&q.NoChance, "no-chance", false, "leave the chance of failure out")
	f.BoolVar(&q.NoCracks, "no-cracks", false, "leave the list of cracks out")
	f.BoolVar(&long, "long", false, "tell everything: seasons, histories, cracks, joints, what the answer leans on")
	f.IntVar(&style.Joints, "joints", 10, "joints in the table of --long, -1 for all")
	f.BoolVar(&style.Inches, "inches", false, "tell lengths in inches")
	return c
}

// told works a board out and gives what writes the answer as text: on a page with
// what helps, with --long everything, of one joint its derivation. Only the page needs
// advice, and what happens to the board stands on it before that is worked out.
func (s *session) told(ctx context.Context, src []byte, q answer.BoardQuery, style report.Style, long bool, shown *progress) (*layout.Board, *check.Report, func(io.Writer) error, error) {
	if long || s.json || q.Explain != "" {
		b, r, err := answer.Board(ctx, src, q, nil)
		return b, r, func(w io.Writer) error {
			if r.Derivation != nil {
				return report.Derivation(w, r.Derivation)
			}
			return report.Board(w, r, style.For(r))
		}, err
	}
	b, r, rest, err := answer.Told(ctx, src, q)
	return b, r, func(w io.Writer) error {
		return report.Brief(w, r, style.For(r), func() (*advice.Advice, window.HumidityWindow, error) {
			t, err := rest()
			shown.end()
			if err != nil {
				return nil, window.HumidityWindow{}, err
			}
			return t.Advice, t.Air, nil
		})
	}, err
}

// conditionFlags are those of every subcommand that checks a board.
func conditionFlags(c *cobra.Command, q *answer.BoardQuery) {
	f := c.Flags()
	f.StringVar(&q.Home, "home", "", "check for this named `climate` instead of the board's own home (see tanrad climates)")
	f.StringArrayVar(&q.Air, "air", nil, "add an end state: settled in `air`, as 45@21 (% humidity @ °C) or cellar=75@14")
	f.Float64SliceVar(&q.Moistures, "mc", nil, "add an end state: every piece suddenly at this `% MC`")
	f.Float64SliceVar(&q.Shifts, "shift", nil, "add an end state: every piece suddenly this many `% MC` from its moisture at glue-up")
	f.StringArrayVar(&q.Exposures, "exposure", nil, "follow the exposure of this `name` instead of ordinary use and those of the file; standard, none, or one of tanrad exposures")
	f.IntVar(&q.Refine, "refine", 0, "halve every element this many `times`, 0 to 2")
}

// source reads the board file of check.
func (s *session) source(c *cobra.Command, args []string) ([]byte, error) {
	switch {
	case len(args) == 0:
		if !s.json {
			fmt.Fprintln(c.ErrOrStderr(), "tanrad: no file given, checking the built-in demonstration board")
		}
		return data.Demo, nil
	case args[0] == "-":
		return readAll(s.in, "standard input")
	}
	f, err := os.Open(args[0])
	if err != nil {
		return nil, usage{err}
	}
	defer f.Close()
	return readAll(f, args[0])
}

func readAll(r io.Reader, name string) ([]byte, error) {
	src, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, usage{fmt.Errorf("%s: %w", name, err)}
	}
	if len(src) > maxFile {
		return nil, usage{fmt.Errorf("%s is longer than %d bytes", name, maxFile)}
	}
	return src, nil
}

// arguments is like cobra.RangeArgs, with a mistake marked as such.
func arguments(least, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return usage{fmt.Errorf("%s takes %s, not %d arguments", c.Name(), strings.TrimPrefix(c.Use, c.Name()+" "), len(args))}
		}
		return nil
	}
}
