package influence

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// When tells the time of an exposure in words.
func (c *Course) When(i int) string {
	h := c.Times[i]
	ph := c.phases[c.phase[i]].Name
	t := ""
	switch {
	case h < 1:
		t = plural(math.Round(h*60), "minute")
	case h < 48:
		t = plural(math.Round(h), "hour")
	case h < 24*60:
		t = plural(math.Round(h/24), "day")
	default:
		t = plural(math.Round(h/730), "month")
	}
	return t + " into “" + strings.ToLower(c.Shown.Name) + "” (" + ph + ")"
}

func plural(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
