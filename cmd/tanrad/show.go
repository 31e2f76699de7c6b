package main

import (
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
)

func (s *session) emc() *cobra.Command {
	var temperature, humidity, mc float64
	c := &cobra.Command{
		Use:     "emc",
		Short:   "Tell the moisture of wood in some air, or the humidity that goes with a moisture",
		Example: "  tanrad emc --temp 21 --rh 50\n  tanrad emc --temp 21 --mc 9.2",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			q := answer.EMCQuery{Temperature: &temperature}
			if c.Flags().Changed("rh") {
				q.Humidity = &humidity
			}
			if c.Flags().Changed("mc") {
				q.Moisture = &mc
			}
			a, err := answer.AskEMC(q)
			if err != nil {
				return err
			}
			return s.tell(a, func(w io.Writer) error {
				_, err := fmt.Fprintf(w, "%.1f %% MC at %.1f %% humidity and %.1f °C\n%s; %s\n", a.Moisture, a.Humidity, a.Temperature, a.Note, a.Source)
				return err
			})
		},
	}
	f := c.Flags()
	f.Float64Var(&temperature, "temp", roomTemperature, "temperature, °C")
	f.Float64Var(&humidity, "rh", 0, "relative humidity, %")
	f.Float64Var(&mc, "mc", 0, "moisture content, %")
	return c
}

func (s *session) species() *cobra.Command {
	q, m, svg := answer.SpeciesQuery{}, answer.DefaultMovement, ""
	c := &cobra.Command{
		Use:     "species [NAME]",
		Short:   "List the woods, or tell everything about one",
		Example: "  tanrad species --q maple\n  tanrad species \"acer saccharum\"\n  tanrad species --colour brown --svg brown.svg --from 35 --to 65",
		Args:    arguments(0, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a, err := answer.OneSpecies(args[0])
				if err != nil {
					return err
				}
				return s.tell(a, func(w io.Writer) error { return writeSpecies(w, a) })
			}
			if svg != "" {
				drawn, err := answer.DrawSpecies(q, m)
				if l := fault.Of(err); len(l) > 0 {
					return answer.ParameterFaults(l) // every field of the question is a flag
				} else if err != nil {
					return err
				}
				return os.WriteFile(svg, drawn, 0o644)
			}
			a, err := answer.ListSpecies(q)
			if err != nil {
				return err
			}
			return s.tell(a, func(w io.Writer) error { return writeList(w, a) })
		},
	}
	f := c.Flags()
	f.StringVar(&q.Q, "q", "", "part of any name")
	f.StringVar(&q.Class, "class", "", "hardwood or softwood")
	f.StringVar(&q.Bonding, "bonding", "", "gluing class: easily, well, satisfactorily, with-difficulty")
	f.StringVar(&q.Colour, "colour", "", "colour group, such as pale or dark")
	f.StringVar(&q.Data, "data", "", "complete (default) or incomplete")
	f.IntVar(&q.Limit, "limit", 500, "most woods in the list")
	f.IntVar(&q.Offset, "offset", 0, "woods left out at the front of the list")
	f.StringVar(&svg, "svg", "", "draw how far the woods move, radially and tangentially, into this `file` instead of listing them")
	f.Float64Var(&m.From, "from", m.From, "of the drawing: % humidity before, at 20 °C")
	f.Float64Var(&m.To, "to", m.To, "of the drawing: % humidity after")
	return c
}

func writeList(w io.Writer, a answer.SpeciesList) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "wood\tname\tradial %\ttangential %\tbonds")
	for _, s := range a.Species {
		if s.Missing != "" {
			stand := ""
			if s.StandIn != "" {
				stand = "; " + s.StandIn + " may stand in: " + s.StandInReason
			}
			fmt.Fprintf(t, "%s\t%s\t%s%s\n", s.ID, s.CommonName, s.Missing, stand)
			continue
		}
		fmt.Fprintf(t, "%s\t%s\t%.1f\t%.1f\t%s\n", s.ID, s.CommonName, *s.ShrinkageR, *s.ShrinkageT, s.Bonding)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "%d of %d woods\n", len(a.Species), a.Total)
	return err
}

func writeSpecies(w io.Writer, a *answer.Species) error {
	fmt.Fprintf(w, "%s  (%s)\n%s, %s", a.CommonName, a.ScientificName, a.Class, a.Origin)
	for _, more := range []string{a.Porosity, bonds(a.Bonding)} {
		if more != "" {
			fmt.Fprintf(w, ", %s", more)
		}
	}
	fmt.Fprintf(w, "; T/R %.2f\n", a.TRRatio)
	if len(a.Aliases) > 0 {
		fmt.Fprintf(w, "also: %s\n", strings.Join(a.Aliases, ", "))
	}
	var foreign []string
	for _, n := range a.TradeNames {
		foreign = append(foreign, n.Language+" "+n.Name)
	}
	if len(foreign) > 0 {
		fmt.Fprintf(w, "in the trade: %s\n", strings.Join(foreign, ", "))
	}
	if a.Notice != "" {
		fmt.Fprintf(w, "%s.\n", a.Notice)
	}
	for _, part := range []struct {
		head string
		list []answer.Property
	}{{"Printed figures", a.Properties}, {"Strength in use at 12 % MC", a.Strength}, {"Stiffness in use at 12 % MC", a.Elastic}, {"Other published figures, not in use", a.Alternatives}} {
		if len(part.list) == 0 {
			continue
		}
		fmt.Fprintf(w, "\n%s:\n", part.head)
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, p := range part.list {
			fmt.Fprintf(t, "%s\t%g\t%s\t%s\t%s\t%s\n", p.Name, p.Value, p.Unit, rangeOf(p), p.Status, p.Source)
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	if a.Disputed {
		fmt.Fprintln(w, "Published sources differ by more than 15 % in how much this wood moves; the larger movement is in use.")
	}
	fmt.Fprintln(w, "\nMind:")
	for _, c := range a.Cautions {
		fmt.Fprintf(w, "- %s\n  [%s; %s]\n", c.Text, c.Source, c.Status)
	}
	_, err := fmt.Fprintln(w, a.Defer)
	return err
}

// rangeOf tells the range of a figure and the moisture of its test.
func rangeOf(p answer.Property) string {
	var parts []string
	switch {
	case p.Low != nil && p.High != nil:
		parts = append(parts, fmt.Sprintf("%g to %g", *p.Low, *p.High))
	case p.Low != nil:
		parts = append(parts, fmt.Sprintf("from %g", *p.Low))
	}
	if p.AtMC != nil && *p.AtMC != 12 {
		parts = append(parts, fmt.Sprintf("at %g %% MC", *p.AtMC))
	}
	return strings.Join(parts, ", ")
}

func bonds(class string) string {
	if class == "" {
		return ""
	}
	return "bonds " + strings.ReplaceAll(class, "-", " ")
}

// listing is a command that lists what there is: the answer, a line of cells for each,
// tabs between them, and a note below.
func (s *session) listing(use, short, head string, ask func() (a any, lines []string, note string)) *cobra.Command {
	return &cobra.Command{
		Use:   use,
		Short: short,
		Args:  arguments(0, 0),
		RunE: func(*cobra.Command, []string) error {
			a, lines, note := ask()
			return s.tell(a, func(w io.Writer) error {
				t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
				for _, l := range append([]string{head}, lines...) {
					fmt.Fprintln(t, l)
				}
				if err := t.Flush(); err != nil || note == "" {
					return err
				}
				_, err := fmt.Fprintln(w, note)
				return err
			})
		},
	}
}

func (s *session) climates() *cobra.Command {
	return s.listing("climates", "List the homes a board may live in", "home\tdriest\tdampest\t", func() (any, []string, string) {
		a := answer.ListClimates()
		var lines []string
		for _, c := range a.Climates {
			lines = append(lines, fmt.Sprintf("%s\t%.1f %% MC\t%.1f %% MC\t%s", c.Key, c.DriestMoisture, c.DampestMoisture, c.Name))
		}
		return a, lines, ""
	})
}

func (s *session) finishes() *cobra.Command {
	return s.listing("finishes", "List the finishes a board file may name, and how far they slow moisture", "finish\tkept out in a day\tin 7 days\tin 14 days\t", func() (any, []string, string) {
		a := answer.ListFinishes()
		var lines []string
		for _, f := range a.Finishes {
			lines = append(lines, fmt.Sprintf("%s\t%.0f %%\t%.0f %%\t%.0f %%\t%s", f.Key, f.Day, f.Week, f.Weeks, f.Name))
		}
		return a, lines, a.Note
	})
}

func (s *session) adhesives() *cobra.Command {
	return s.listing("adhesives", "List the classes of glue a board file may name", "glue\twater class\twood at gluing\t", func() (any, []string, string) {
		a := answer.ListAdhesives()
		var lines []string
		for _, c := range a.Adhesives {
			lines = append(lines, fmt.Sprintf("%s\t%s\t%g to %g %% MC\t%s", c.Key, c.WaterClass, c.MCLow, c.MCHigh, c.Name))
		}
		return a, lines, ""
	})
}

func (s *session) exposures() *cobra.Command {
	return &cobra.Command{
		Use:     "exposures [NAME]",
		Short:   "List the events a board may meet, or tell the values one can be given",
		Example: "  tanrad exposures wash-one-face",
		Args:    arguments(0, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			a := answer.ListExposures()
			if len(args) == 1 {
				one, err := moisture.FindExposure(args[0])
				if err != nil {
					return fault.At(err, "/name")
				}
				a.Exposures = slices.DeleteFunc(a.Exposures, func(e answer.Exposure) bool { return e.Key != one.Key })
			}
			return s.tell(a, func(w io.Writer) error { return writeExposures(w, a, len(args) == 1) })
		},
	}
}

func writeExposures(w io.Writer, a answer.Exposures, values bool) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, e := range a.Exposures {
		fmt.Fprintf(t, "%s\t%s\n", e.Key, e.Text)
		if !values {
			continue
		}
		if err := t.Flush(); err != nil {
			return err
		}
		for _, v := range e.Values {
			if v.Kind == "word" {
				fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", v.Name, v.DefaultWord, strings.Join(v.Allowed, ", "), v.Text)
				continue
			}
			usual := "as glued"
			if v.Default != nil {
				usual = fmt.Sprintf("%g %s", *v.Default, v.Unit)
			}
			fmt.Fprintf(t, "  %s\t%s\t%g to %g\t%s\n", v.Name, usual, *v.Lo, *v.Hi, v.Text)
		}
		if e.Patch {
			fmt.Fprintf(t, "  patch\tall of it\t{\"centre\": [x, y], \"radius\": r}\tthe part of the face, or with \"size\": [width, height]\n")
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s.\nValues stand in the board file: \"exposures\": [{\"name\": \"wash-one-face\", \"minutes\": 10}]\n", a.Note)
	return err
}

// version is what --json tells; the module's version is set by the toolchain.
type version struct {
	Version string `json:"version"`
	Go      string `json:"go"`
	Commit  string `json:"commit,omitempty"`
}

func (s *session) version() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Tell which version this is",
		Args:  arguments(0, 0),
		RunE: func(*cobra.Command, []string) error {
			v := version{Version: "unknown"}
			if info, ok := debug.ReadBuildInfo(); ok {
				v.Version, v.Go = info.Main.Version, info.GoVersion
				for _, setting := range info.Settings {
					if setting.Key == "vcs.revision" {
						v.Commit = setting.Value
					}
				}
			}
			return s.tell(v, func(w io.Writer) error {
				_, err := fmt.Fprintf(w, "tanrad %s (%s) %s\n", v.Version, v.Go, v.Commit)
				return err
			})
		},
	}
}
