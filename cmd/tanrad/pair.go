package main

import (
	"errors"
	"io"
	"os"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/report"
)

func (s *session) pair() *cobra.Command {
	var from, to, grainA, grainB, widthA, widthB, length, thickness, svg string
	var change float64
	var q pair.Request
	var style report.Style
	c := &cobra.Command{
		Use:   "pair A B",
		Short: "Tell whether two woods go together along one joint",
		Long: `pair checks one glue line between wood A and wood B. Ring angles are measured
from the joint for end grain (grain up), else from the face: 0 flat-sawn, 90
quarter-sawn. Without --length the joint is long.`,
		Example: `  tanrad pair sugar-maple black-walnut --ring-b 90 --change 3
  tanrad pair sugar-maple black-cherry --grain-b along --from 45rh --to 65rh`,
		Args: arguments(2, 2),
		RunE: func(c *cobra.Command, args []string) error {
			q.A.Species, q.B.Species = args[0], args[1]
			q.A.Grain, q.B.Grain = pair.Grain(grainA), pair.Grain(grainB)
			lengths := []struct {
				flag, pointer, text string
				to                  *float64
			}{
				{"width-a", "/a/width", widthA, &q.A.Width}, {"width-b", "/b/width", widthB, &q.B.Width},
				{"length", "/length", length, &q.Length}, {"thickness", "/thickness", thickness, &q.Thickness},
			}
			for _, l := range lengths {
				if !c.Flags().Changed(l.flag) {
					continue
				}
				mm, err := quantity.ParseLength(l.text, quantity.Millimetre)
				if err != nil {
					return fault.At(err, l.pointer)
				}
				if mm == 0 {
					mm = -1 // 0 would mean the default; let the check refuse it
				}
				*l.to = mm
			}
			q.Inches = style.Inches
			if err := ends(c, &q, from, to, change); err != nil {
				return err
			}
			r, err := pair.Pair(c.Context(), q)
			if err != nil {
				return err
			}
			for _, l := range lengths {
				r.Notices = askFraction(r.Notices, l.pointer, l.text)
			}
			if svg != "" {
				drawn, err := picture.Pair(r, style.Inches)
				if err != nil {
					return err
				}
				if err := os.WriteFile(svg, drawn, 0o644); err != nil {
					return err
				}
			}
			return s.tell(r, func(w io.Writer) error { return report.Pair(w, r, style) })
		},
	}
	f := c.Flags()
	f.Float64Var(&q.A.RingAngle, "ring-a", 0, "ring angle of A, `degrees`")
	f.Float64Var(&q.B.RingAngle, "ring-b", 0, "ring angle of B, `degrees`")
	f.StringVar(&grainA, "grain-a", "up", "fibres of A: up, along or across the joint")
	f.StringVar(&grainB, "grain-b", "up", "fibres of B: up, along or across the joint")
	f.StringVar(&widthA, "width-a", "40 mm", "width of A across the joint")
	f.StringVar(&widthB, "width-b", "40 mm", "width of B across the joint")
	f.StringVar(&length, "length", "", "length of the joint")
	f.StringVar(&thickness, "thickness", "40 mm", "thickness of the board")
	f.StringVar(&from, "from", "", "moisture before: 7.5 (% MC), 45rh or 45rh@20")
	f.StringVar(&to, "to", "", "moisture after, likewise")
	f.Float64Var(&change, "change", 3, "change of % MC from --from, or from 8 %")
	f.BoolVar(&q.Season, "season", false, "the change takes months: stress relaxes as a season leaves it")
	f.BoolVar(&q.Derivation, "derivation", false, "list the steps with their numbers")
	f.StringVar(&svg, "svg", "", "also draw the pair, unglued and glued, into this `file`")
	f.BoolVar(&style.Inches, "inches", false, "tell lengths in inches")
	return c
}

// ends takes both ends of a change from --from, --to and --change.
func ends(c *cobra.Command, q *pair.Request, from, to string, change float64) error {
	q.From = pair.DefaultMoisture
	take := func(flag, text string, mc *float64, air **moisture.Room) error {
		e, err := parseEnd(flag, text)
		if err != nil {
			return err
		}
		if *air = e.room; e.mc != nil {
			*mc = *e.mc
		}
		return nil
	}
	if from != "" {
		if err := take("from", from, &q.From, &q.FromAir); err != nil {
			return err
		}
	}
	if to != "" {
		if c.Flags().Changed("change") {
			return usage{errors.New("give --to or --change, not both")}
		}
		return take("to", to, &q.To, &q.ToAir)
	}
	return q.Change(change)
}
