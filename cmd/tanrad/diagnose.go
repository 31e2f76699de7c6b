package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/diagnose"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/report"
)

// diagnose looks back from a crack to what most likely opened it.
func (s *session) diagnose() *cobra.Command {
	var o diagnose.Observation
	var crack, home string
	var age float64
	var list int
	c := &cobra.Command{
		Use:   "diagnose [FILE]",
		Short: "Tell what most likely opened a board, from where and when it cracked",
		Long: `Look back from a crack to what most likely opened it. Exposures, seasons, mistakes
at gluing, poor bonds and turned rings are run through the check and ranked by how
well they would open the board there and then, and not somewhere else.`,
		Example: `  tanrad diagnose board.json --crack "joint=r3c4|r3c5" --season winter --face top
  tanrad diagnose board.json --crack piece=r2c2 --where wood --event dishwasher
  tanrad diagnose board.json --crack somewhere --month 2 --age 120
  tanrad diagnose board.json --sign cupped --sign after-washing`,
		Args: arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := place(crack, &o); err != nil {
				return err
			}
			if c.Flags().Changed("age") {
				o.Age = &age
			}
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			d, err := answer.DiagnoseBoard(c.Context(), src, o, home)
			if err != nil {
				return atFlags(err)
			}
			return s.tell(d, func(w io.Writer) error { return report.Diagnosis(w, d, list) })
		},
	}
	f := c.Flags()
	f.StringVar(&crack, "crack", "somewhere", `where: "joint=A|B", "piece=A" or somewhere`)
	f.StringVar(&o.Where, "where", "", "what opened: joint or wood")
	f.StringVar(&o.Depth, "depth", "", "face or through")
	f.StringVar(&o.Face, "face", "", "top or bottom")
	f.StringVar(&o.Season, "season", "", "winter, spring, summer or autumn (northern half)")
	f.IntVar(&o.Month, "month", 0, "instead of a season: 1 to 12")
	f.StringVar(&o.Event, "event", "", "an exposure it followed, such as wash-one-face")
	f.StringSliceVar(&o.Signs, "sign", nil, "what else was seen: cupped, rocks, end-checks (open at the ends), after-washing; may be given again")
	f.Float64Var(&age, "age", 0, "days from gluing to the crack")
	f.StringVar(&home, "home", "", "named `climate` instead of the board's own home")
	f.IntVar(&list, "list", 5, "explanations in the text, 0 for all")
	return c
}

// place reads --crack into an observation.
func place(crack string, o *diagnose.Observation) error {
	kind, id, given := strings.Cut(crack, "=")
	switch {
	case crack == "somewhere":
	case kind == "joint" && id != "":
		o.Joint = id
	case kind == "piece" && id != "":
		o.Piece = id
	case !given && strings.Contains(crack, "|"):
		o.Joint = crack
	default:
		return usage{fmt.Errorf(`--crack %q: write "joint=A|B", "piece=A" or somewhere`, crack)}
	}
	return nil
}

// atFlags gives faults of the place the flag that told it.
func atFlags(err error) error {
	var params answer.Parameters
	var list fault.List
	if !errors.As(err, &params) || !errors.As(err, &list) {
		return err
	}
	for i := range list {
		switch p := list[i].Pointer; {
		case p == "/joint" || p == "/piece":
			list[i].Pointer = "/crack"
		case strings.HasPrefix(p, "/signs/"):
			list[i].Pointer = "/sign"
		}
	}
	return err
}
