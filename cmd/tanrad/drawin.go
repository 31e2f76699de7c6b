package main

import (
	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
)

// drawIn makes a board file of a drawing.
func (s *session) drawIn() *cobra.Command {
	var scale, tolerance float64
	q := answer.OutlineQuery{}
	c := &cobra.Command{
		Use:   "draw-in FILE.svg --units mm|in --thickness LENGTH",
		Short: "Make a board file of an SVG drawing: closed shapes become pieces",
		Long: `Take the closed shapes of an SVG drawing (path, rect, polygon, circle, ellipse, with
their transforms) as pieces and write the board file. The wood of a shape is told by
its id (walnut-3), by data-stock, or by its fill and --stock "#d8c7a8=sugar-maple";
data-ring-angle and data-grain tell how it lies. Curves become corners within the
tolerance. Each shape that cannot be a piece is told by its line. Nothing of the
drawing is run or fetched.`,
		Example: "  tanrad draw-in fish.svg --units mm --thickness 38 --stock \"#5b4030=black-walnut\" > fish.json",
		Args:    arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			if c.Flags().Changed("scale") {
				q.Scale = &scale
			}
			if c.Flags().Changed("tolerance") {
				q.Tolerance = &tolerance
			}
			text, err := answer.Outline(src, q)
			if err != nil {
				return err
			}
			_, err = s.out.Write(text)
			return err
		},
	}
	f := c.Flags()
	f.StringVar(&q.Units, "units", "", "`mm or in`: of the board file, and of the drawing where it tells no lengths")
	f.StringVar(&q.Thickness, "thickness", "", "`length`: how thick the board is")
	f.StringArrayVar(&q.Stock, "stock", nil, "`wood` of a colour or name of the drawing, #d8c7a8=sugar-maple; may repeat")
	f.Float64Var(&scale, "scale", 0, "how many mm or in one `unit` of the drawing is, whatever it says")
	f.Float64Var(&tolerance, "tolerance", 0, "how far a chord may lie from its curve, mm or in (0.1 `mm`)")
	f.StringVar(&q.Name, "name", "", "`name` of the board")
	return c
}
