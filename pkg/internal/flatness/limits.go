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

	Source, Status string // of Gap
}

// Default are the limits a board is judged by when nothing else is asked, as
// ratio (dimensionless) and mm.
var Default = sync.OnceValue(func() Limits {
	rows, err := data.Read(data.Files, "flatness.csv", "key", "value", "unit", "lo", "hi", "source", "status", "note")
	if err != nil {
		panic("flatness: " + err.Error()) // the table is part of the program and tested with it
	}
	var l Limits
	for _, r := range rows {
		v, err := r.Float("value")
		if err != nil {
			panic("flatness: " + err.Error())
		}
		switch r.Get("key") {
		case "gap":
			l.Gap, l.Source, l.Status = v/1000, r.Get("source"), r.Get("status")
		case "rocks":
			l.Rocks = v
		}
	}
	if !(l.Gap > 0 && l.Rocks > 0) {
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
