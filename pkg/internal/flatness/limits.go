package flatness

import (
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Limits are what a board may be out of flat, of data/flatness.csv.
type Limits struct {
	Gap   float64 // mm per mm of the board's own length
	Rocks float64 // mm that a corner may travel before people feel it
	Held  float64 // h that a board lies out of flat before it counts
	Hand  float64 // where weight and a pressing hand together act, from the centre towards the pressed place (dimensionless)

	Source, Status string // of Gap
}

// Default are the limits a board is judged by when nothing else is asked, as
// ratio (dimensionless) and mm.
var Default = sync.OnceValue(func() Limits {
	rows := data.Keyed("flatness.csv", "value", "unit", "lo", "hi", "source", "status", "note")
	gap := rows["gap"]
	l := Limits{Gap: gap.Number("value") / 1000, Rocks: rows["rocks"].Number("value"), Held: rows["held"].Number("value"), Hand: rows["hand"].Number("value"), Source: gap.Get("source"), Status: gap.Get("status")}
	if !(l.Gap > 0 && l.Rocks > 0 && l.Held > 0 && l.Hand > 0) {
		panic("flatness: flatness.csv lacks a limit")
	}
	return l
})

// Index is how far out of flat a board is, over the limit: the largest of its
// rises, each over the length along which it rises. cup, bow and twist are mm on
// the board's own size, narrow and long are its sides [mm]; an index of 1 is the
// limit (dimensionless).
func (l Limits) Index(cup, bow, twist, narrow, long float64) float64 {
	return math.Max(math.Abs(cup)/narrow, math.Max(math.Abs(bow)/long, math.Abs(twist)/math.Hypot(narrow, long))) / l.Gap
}

// Longest finds when a board lies furthest out of flat for as long as counts: the largest
// of its indices over times [h, rising] at which it lies no flatter for that long, in
// straight lines between the times. What it is when the times end it stays. −1 where it
// is always flat.
func (l Limits) Longest(times, index []float64) int {
	at := -1
	last := len(times) - 1
	for k, v := range index {
		if v <= 0 || at >= 0 && v <= index[at] {
			continue
		}
		from, to := k, k
		for from > 0 && index[from-1] >= v {
			from--
		}
		for to < last && index[to+1] >= v {
			to++
		}
		if to == last {
			at = k
			continue
		}
		// Where it passes v on either side.
		crossing := func(in, out int) float64 {
			return times[in] + (times[out]-times[in])*(index[in]-v)/(index[in]-index[out])
		}
		start := times[from]
		if from > 0 {
			start = crossing(from, from-1)
		}
		if crossing(to, to+1)-start >= l.Held {
			at = k
		}
	}
	return at
}
