package quantity

import (
	"fmt"
	"math"
)

// Count tells a number of things: "1 block", "2 blocks".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Whole rounds a number of days, hours or the like up to whole ones; what lies above
// one by round-off alone does not count. Nothing is 0 and never −0.
func Whole(v float64) float64 { return math.Ceil(v-1e-9) + 0 }

// Days tells a time in days (24 h) as whole ones, and "too long" for nil: more than was followed.
func Days(d *float64) string {
	if d == nil {
		return "too long"
	}
	return fmt.Sprintf("%.0f", Whole(*d))
}
