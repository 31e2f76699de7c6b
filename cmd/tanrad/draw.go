package main

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/picture"
)

func (s *session) draw() *cobra.Command {
	var out string
	var hour float64
	q := answer.BoardQuery{}
	p := answer.PictureQuery{}
	c := &cobra.Command{
		Use:   "draw [FILE]",
		Short: "Draw a board: joints, histories, profiles, the moved or bent board, the order of work",
		Long: `draw writes one picture as SVG, or as PNG with --png, to standard output or to --out. Views:

  layout    joints painted by how much of what they bear is asked of them
  history   utilisation, cup and moisture over one exposure
  profiles  moisture through the thickness during one exposure
  deformed  the board as it moves in its plane, exaggerated by the factor it states
  surface   the board as it cups, bows and twists
  slices    the order of work of a field made of slices or built of panels
  year      the board as it moves through a year at home, and stills of it`,
		Example: `  tanrad draw board.json --view history --exposure first-heating-season --out year.svg
  tanrad draw board.json --view deformed --state dampest-month --out moved.svg`,
		Args: arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			p.PNG = p.PNG || strings.EqualFold(filepath.Ext(out), ".png")
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			if c.Flags().Changed("hour") {
				p.Hour = &hour
			}
			svg, err := answer.Draw(c.Context(), src, q, p, nil)
			if err != nil {
				return err
			}
			if out == "" {
				_, err = s.out.Write(svg)
				return err
			}
			return os.WriteFile(out, svg, 0o644)
		},
	}
	f := c.Flags()
	f.StringVar(&p.View, "view", picture.ViewLayout, strings.Join(picture.Views(), ", "))
	f.BoolVar(&p.PNG, "png", false, "as PNG instead of SVG, as into a file whose name ends so")
	f.IntVar(&p.Width, "width", 0, "of a PNG, `px`; 1200 when left out")
	f.StringVar(&out, "out", "", "write into this `file` instead of standard output")
	f.StringVar(&p.Exposure, "of", "", "of history, profiles and surface: this exposure of the check instead of the one that shows most")
	f.StringVar(&p.State, "state", "", "of deformed: this end state or exposure instead of the worst")
	f.Float64Var(&hour, "hour", 0, "of deformed, surface and profiles: this many `hours` into the exposure")
	conditionFlags(c, &q)
	return c
}
