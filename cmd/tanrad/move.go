package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/report"
)

func (s *session) move() *cobra.Command {
	var from, to string
	var q movement.Request
	var style report.Style
	c := &cobra.Command{
		Use:   "move WOOD SIZE",
		Short: "Tell how much one piece moves",
		Example: `  tanrad move sugar-maple 250 --from 7.5 --to 10.5
  tanrad move black-cherry "9 1/2 in" --cut quarter-sawn --from 45rh@20 --to 65rh@20`,
		Args: arguments(2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			q.Species = args[0]
			var err error
			unit := quantity.Millimetre
			if style.Inches {
				unit = quantity.Inch
			}
			if q.Size, err = quantity.ParseLength(args[1], unit); err != nil {
				return fault.At(err, "/size")
			}
			style.Inches = style.Inches || namesInches(args[1])
			for _, e := range []struct {
				flag, text string
				set        func(end)
			}{
				{"from", from, func(e end) { q.FromMC, q.From = e.mc, e.room }},
				{"to", to, func(e end) { q.ToMC, q.To = e.mc, e.room }},
			} {
				if e.text == "" {
					return usage{errors.New("give --" + e.flag + ": 7.5 (% MC), 45rh or 45rh@20")}
				}
				parsed, err := parseEnd(e.flag, e.text)
				if err != nil {
					return err
				}
				e.set(parsed)
			}
			r, err := movement.Change(q)
			if err != nil {
				return err
			}
			if unit == quantity.Millimetre {
				r.Notices = askFraction(r.Notices, "/size", args[1])
			}
			return s.tell(r, func(w io.Writer) error { return report.Movement(w, r, style) })
		},
	}
	c.SetFlagErrorFunc(func(_ *cobra.Command, err error) error {
		var unknown *pflag.NotExistError
		if errors.As(err, &unknown) {
			if text := unknown.GetSpecifiedShortnames(); strings.IndexAny(text, "0123456789.") == 0 {
				return usage{fmt.Errorf("SIZE is a length above zero, not -%s", text)}
			}
		}
		return usage{err}
	})
	f := c.Flags()
	f.StringVar(&q.Cut, "cut", "", "flat-sawn (default), rift, quarter-sawn, or a ring angle of 0 to 90")
	f.StringVar(&q.Dimension, "dimension", "", "width (default), thickness or length")
	f.StringVar(&q.Form, "form", "", "total (default) or coefficient")
	f.StringVar(&from, "from", "", "moisture before: 7.5 (% MC), 45rh or 45rh@20")
	f.StringVar(&to, "to", "", "moisture after, likewise")
	f.BoolVar(&style.Inches, "inches", false, "read a bare size as inches and tell lengths in inches")
	return c
}

// askFraction asks whether a fraction without a unit was meant in inches, in place
// of what was asked of that length before.
func askFraction(l notice.List, pointer, text string) notice.List {
	if !quantity.BareFraction(text) {
		return l
	}
	l = slices.DeleteFunc(l, func(n notice.Notice) bool { return n.Pointer == pointer })
	l.Add(notice.Notice{Pointer: pointer, Found: text + " mm", Likely: text + " in",
		Text: fmt.Sprintf("%s without a unit is taken as millimetres. Did you mean %s in?", text, text)})
	return l
}

// namesInches reports that the text of a length has inches for its unit.
func namesInches(text string) bool {
	text = strings.TrimSpace(strings.ToLower(text))
	for _, unit := range []string{"in", "in.", "inch", "inches", `"`, "″", "”"} {
		if strings.HasSuffix(text, unit) {
			return true
		}
	}
	return false
}
