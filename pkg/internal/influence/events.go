package influence

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// When tells the time of an exposure in words.
func (c *LoadHistory) When(i int) string {
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

// Drinks says that a face meets liquid water.
func (c *LoadHistory) Drinks() bool {
	for i := range c.phases {
		for _, f := range []moisture.Face{c.phases[i].Top, c.phases[i].Bottom} {
			if f.Kind == moisture.Water || f.Kind == moisture.OnWetCounter {
				return true
			}
		}
	}
	return false
}

// WetterFace is 1 where the top face holds more water than the bottom at a time, −1
// where it holds less (dimensionless); ok is false where both are alike.
func (m *Model) WetterFace(c *LoadHistory, i int) (side float64, ok bool) {
	sum := m.slopeOf(c.Elastic, i)
	return math.Copysign(1, sum), math.Abs(sum) > alikeFaces
}

// CrushedFace is 1 where the top face was crushed while it was wet and is short now, −1
// where the bottom was (dimensionless); ok is false where a board bends as its water says.
func (m *Model) CrushedFace(c *LoadHistory, i int) (side float64, ok bool) {
	bent, water := m.slopeOf(c.Shape, i), m.slopeOf(c.Elastic, i)
	return -math.Copysign(1, bent), math.Abs(bent) > alikeFaces && bent*water <= 0
}

// slopeOf is the mean slope over the board at a time [% MC per mm].
func (m *Model) slopeOf(of []kindHistory, i int) (sum float64) {
	for k := range m.Kinds {
		sum += m.Kinds[k].share * of[k].slope[i]
	}
	return sum
}

// alikeFaces is the gradient [% MC per mm] below which both faces are alike.
const alikeFaces = 1e-9

func plural(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
