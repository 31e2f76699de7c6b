package main

import (
	"errors"
	"io"
	"os"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/report"
	"github.com/tanrad/tanrad/pkg/sheet"
)

// stdout as the name of a file is standard output.
const stdout = "-"

// plan tells how a board is made.
func (s *session) plan() *cobra.Command {
	var clamp, defects, pace float64
	var month int
	var page, card string
	q := answer.PlanQuery{}
	c := &cobra.Command{
		Use:   "plan [FILE]",
		Short: "How the board is made: stock, cut list, glue-ups, waits, surface, care card, calendar",
		Long: `Work the board through from stock on arrival to hand-over: what moisture to wait
for and how long, what to refuse, the cut list with volumes and yield, glue-ups in
order with glue, clamps and time, what to leave for flattening, the surface, the
care card and a calendar with the wait that decides.

Every figure that went in is listed with its source; habits of the shop are common
practice, and what the flags say goes instead of them.`,
		Example: "  tanrad plan board.json --shop 40@18 --arrival 11 --price M=2400 --price W=5200\n  tanrad plan board.json --month 1 --workshop unheated-workshop",
		Args:    arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			src, err := s.source(c, args)
			if err != nil {
				return err
			}
			for name, v := range map[string]struct {
				from *float64
				to   **float64
			}{"clamp": {&clamp, &q.Clamp}, "defects": {&defects, &q.Defects}, "pace": {&pace, &q.Pace}} {
				if c.Flags().Changed(name) {
					*v.to = v.from
				}
			}
			if page == stdout && card == stdout || s.json && (page == stdout || card == stdout) {
				return usage{errors.New("one answer at a time goes to standard output: one of --page -, --card -, --json")}
			}
			if c.Flags().Changed("month") {
				q.Month = &month
			}
			bar := newProgress(c.ErrOrStderr(), false)
			q.Progress = bar.show
			p, err := answer.Plan(c.Context(), src, q, nil)
			bar.end()
			if err != nil {
				return err
			}
			for _, f := range []struct {
				name  string
				print func() ([]byte, error)
			}{{page, func() ([]byte, error) { return answer.PrintPlan(c.Context(), src, p) }}, {card, func() ([]byte, error) { return sheet.Card(p) }}} {
				if f.name == "" {
					continue
				}
				body, err := f.print()
				if err != nil {
					return err
				}
				if f.name == stdout {
					if _, err := s.out.Write(body); err != nil {
						return err
					}
					continue
				}
				if err := os.WriteFile(f.name, body, 0o644); err != nil {
					return err
				}
			}
			if page == stdout || card == stdout {
				return nil
			}
			return s.tell(p, func(w io.Writer) error { return report.Plan(w, p, report.Style{}) })
		},
	}
	f := c.Flags()
	f.StringVar(&q.Shop, "shop", "", "`air` of the shop, as 45@20, instead of the file's glue_up")
	f.IntVar(&month, "month", 0, "`month` of the work, 1 to 12: the shop's air is that of --workshop, or of the home, in it")
	f.StringVar(&q.Workshop, "workshop", "", "`climate` of the shop in that month")
	f.StringArrayVar(&q.Arrival, "arrival", nil, "`% MC` of stock as bought, 12 for all or M=12 for one")
	f.StringArrayVar(&q.Prices, "price", nil, "`price` of a stock, M=60: a m³ for files in mm, a board foot for files in inches")
	f.StringVar(&q.Kerf, "kerf", "", "saw cut, a `length`")
	f.StringVar(&q.Trim, "trim", "", "`length` cut off each end of a panel")
	f.StringVar(&q.Longest, "longest", "", "`length` of the longest panel or stick")
	f.Float64Var(&clamp, "clamp", 0, "force of one clamp, `kN`")
	f.Float64Var(&defects, "defects", 0, "`share` of bought stock lost to faults in the wood")
	f.Float64Var(&pace, "pace", 0, "`minutes` to spread glue on 1 m²")
	f.StringVar(&page, "page", "", "write pages to print into this `file`, as HTML; - for standard output instead of the text")
	f.StringVar(&card, "card", "", "write the care card into this `file`, as HTML for one page of A5 or half letter; - for standard output instead of the text")
	f.BoolVar(&q.Inches, "inches", false, "tell lengths in inches")
	conditionFlags(c, &q.BoardQuery)
	return c
}
