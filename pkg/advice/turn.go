package advice

import (
	"fmt"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// mostNamed is how many blocks or strips a sentence names.
const mostNamed = 6

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

// counted says how many blocks and strips there are, and when strips are turned.
func counted(turns []arrange.Turn) string {
	var parts []string
	strips := 0
	for _, t := range turns {
		if t.Unit == arrange.Strip {
			strips++
		}
	}
	if n := len(turns) - strips; n > 0 {
		place := " in their places"
		if n == 1 {
			place = " in its place"
		}
		parts = append(parts, quantity.Count(n, "block")+place)
	}
	if strips > 0 {
		parts = append(parts, quantity.Count(strips, "strip")+" before the panel is glued")
	}
	return strings.Join(parts, " and ")
}

// costOfTurns tells the work.
func costOfTurns(turns []arrange.Turn) string {
	what := "block"
	if slices.ContainsFunc(turns, func(t arrange.Turn) bool { return t.Unit == arrange.Strip }) {
		what = "strip"
	}
	return quantity.Count(len(turns), what) + " turned; the pattern stays"
}
