package arrange

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/quantity"
)

// Sort is how many of one sort of thing are turned.
type Sort struct {
	Unit  string
	Count int
	Text  string // "3 blocks", "2 of the 9 sticks of panel A"
}

// Sorts counts what is turned, sort by sort: sticks panel by panel, since each panel is
// a glue-up of its own.
func Sorts(turns []Turn) []Sort {
	var out []Sort
	for _, unit := range []string{Block, Stick, Strip, Part} {
		n := 0
		for _, t := range turns {
			if t.Unit == unit {
				n++
			}
		}
		if n > 0 {
			out = append(out, Sort{unit, n, quantity.Count(n, unit)})
		}
	}
	first := len(out)
	for _, t := range turns {
		if t.Unit != PanelStick {
			continue
		}
		panel := t.Place[:strings.LastIndexByte(t.Place, '.')]
		at := first
		for at < len(out) && !strings.HasSuffix(out[at].Text, " of panel "+panel) {
			at++
		}
		if at == len(out) {
			out = append(out, Sort{Unit: PanelStick})
		}
		out[at].Count++
		if out[at].Count == t.Of && t.Of > 1 {
			out[at].Text = fmt.Sprintf("all %s of panel %s", quantity.Count(t.Of, "stick"), panel)
			continue
		}
		out[at].Text = fmt.Sprintf("%d of the %s of panel %s", out[at].Count, quantity.Count(t.Of, "stick"), panel)
	}
	return out
}
