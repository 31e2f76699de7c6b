package advice

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// mostNamed is how many blocks or strips a sentence names.
const mostNamed = 6

// workText says what a search found to do otherwise.
func workText(r *arrange.Result) string {
	var parts []string
	for i := range r.Steps {
		parts = append(parts, r.Steps[i].Text())
	}
	text := ""
	if len(parts) > 0 {
		text = strings.ToUpper(parts[0][:1]) + strings.Join(parts, "; ")[1:] + "."
	}
	if len(r.Turns) > 0 {
		text = strings.TrimSpace(text + " " + turnText(r.Turns))
	}
	return text
}

// costOfWork tells the work of it.
func costOfWork(r *arrange.Result) string {
	parts := arrange.StepSorts(r.Steps)
	if len(r.Turns) > 0 {
		parts = append(parts, costOfTurns(r.Turns))
	}
	return strings.Join(parts, "; ")
}

// turnText says which blocks and strips to turn.
func turnText(turns []arrange.Turn) string {
	text := "Turn " + counted(turns)
	if len(turns) > mostNamed {
		by := map[string]int{}
		var order []string
		for _, t := range turns {
			if by[t.How] == 0 {
				order = append(order, t.How)
			}
			by[t.How]++
		}
		parts := make([]string, len(order))
		for i, how := range order {
			parts[i] = fmt.Sprintf("%d %s", by[how], how)
		}
		return fmt.Sprintf("%s: %s; the new board file tells which.", text, strings.Join(parts, ", "))
	}
	parts := make([]string, len(turns))
	for i, t := range turns {
		parts[i] = t.Place + " " + t.How
		if t.Piece != "" {
			parts[i] = t.Piece + " to " + t.Place + ", " + t.How
		}
	}
	return text + ": " + strings.Join(parts, "; ") + "."
}

// when says where or when each sort of thing is turned, for one and for several.
var when = map[string][2]string{
	arrange.Block:      {"in its place", "in their places"},
	arrange.Stick:      {"in its place", "in their places"},
	arrange.Strip:      {"before the panel is glued", "before the panel is glued"},
	arrange.PanelStick: {"before it is glued", "before it is glued"},
	arrange.Part:       {"of the sticks before they are glued", "of the sticks before they are glued"},
}

// counted says how many of each sort there are, and when they are turned.
func counted(turns []arrange.Turn) string {
	var parts []string
	for _, s := range arrange.Sorts(turns) {
		parts = append(parts, s.Text+" "+when[s.Unit][min(s.Count, 2)-1])
	}
	return strings.Join(parts, " and ")
}

// costOfTurns tells the work.
func costOfTurns(turns []arrange.Turn) string {
	what := turns[0].Unit
	for _, t := range turns {
		if t.Unit != what {
			what = "piece"
		}
	}
	if what == arrange.PanelStick {
		what = "stick"
	}
	return quantity.Count(len(turns), what) + " turned; the pattern stays"
}
