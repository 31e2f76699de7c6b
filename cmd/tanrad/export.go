package main

import (
	"os"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
)

// export writes the model a board is solved with, for other programs.
func (s *session) export() *cobra.Command {
	var out string
	var change float64
	q := answer.ExportQuery{}
	c := &cobra.Command{
		Use:   "export [FILE]",
		Short: "Write the solved model for another program: a CalculiX deck, or the matrix",
		Long: `Write the model a board is solved with: its mesh, woods, axes, free strains and
supports as an input deck that CalculiX runs as it is, or the assembled matrix in
Matrix Market form. Lengths are mm, forces N.`,
		Example: "  tanrad export board.json --out board.inp && ccx -i board\n" +
			"  tanrad export board.json --change -3 --out board.inp\n  tanrad export board.json --format mtx --out board.mtx",
		Args: arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			if c.Flags().Changed("change") {
				q.Change = &change
			}
			text, err := answer.Export(c.Context(), src, q, nil)
			if err != nil {
				return err
			}
			if out != "" && out != "-" {
				return os.WriteFile(out, text, 0o644)
			}
			_, err = s.out.Write(text)
			return err
		},
	}
	f := c.Flags()
	f.StringVar(&q.Format, "format", "inp", "inp (CalculiX deck of the membrane) or mtx (Matrix Market)")
	f.StringVar(&q.System, "system", "", "of mtx: membrane or bending")
	f.StringVar(&q.State, "state", "", "load of inp: driest-month (default) or dampest-month of the home")
	f.Float64Var(&change, "change", 0, "load of inp instead: every piece changes by this many % MC")
	f.StringVar(&q.Home, "home", "", "named `climate` instead of the board's own home")
	f.IntVar(&q.Refine, "refine", 0, "halve every element this many times, 0 to 2")
	f.StringVar(&out, "out", "", "write into this `file` instead of standard output")
	return c
}
