package layout

import (
	"fmt"
	"maps"
	"slices"

	"github.com/tanrad/tanrad/pkg/notice"
)

// notices asks about what is possible but hardly meant: fractions for
// percentages, inches for millimetres, °F for °C, wood that is told and not laid. Each place is asked about once.
func (f *File) notices(b *Board) notice.List {
	var l notice.List
	l.Look(notice.Thickness, b.Thickness, "/thickness")
	for _, key := range slices.Sorted(maps.Keys(f.Stock)) {
		if m := f.Stock[key].Moisture; m != nil {
			l.Look(notice.Moisture, *m, under("/stock", key)+"/moisture")
		}
	}
	for _, id := range slices.Sorted(maps.Keys(f.Pieces)) {
		if m := f.Pieces[id].Moisture; m != nil {
			l.Look(notice.Moisture, *m, under("/pieces", id)+"/moisture")
		}
	}
	if f.GlueUp != nil {
		l.Look(notice.Humidity, b.GlueUp.Humidity, "/glue_up/humidity")
		l.Look(notice.Temperature, b.GlueUp.Temperature, "/glue_up/temperature")
	}
	for i, r := range f.Home.Months {
		l.Look(notice.Humidity, r.Humidity, at("/home/months", i)+"/humidity")
		l.Look(notice.Temperature, r.Temperature, at("/home/months", i)+"/temperature")
	}
	l.Look(notice.Side, max(b.Width, b.Height), "/field")
	asked := map[string]bool{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		if p.Border >= 0 || !p.Grain.Up || asked[p.Pointer] {
			continue
		}
		lo, hi := bounds(p.Outline)
		before := len(l)
		l.Look(notice.Block, max(hi[0]-lo[0], hi[1]-lo[1]), p.Pointer)
		if asked[p.Pointer] = len(l) > before; len(l) >= mostNotices {
			break
		}
	}
	used := map[string]bool{}
	for i := range b.Pieces {
		used[b.Pieces[i].Stock] = true
	}
	for _, key := range slices.Sorted(maps.Keys(b.Stock)) {
		if !used[key] {
			l.Add(notice.Notice{Pointer: under("/stock", key), Found: key, Text: fmt.Sprintf("No piece of the board is of stock %s (%s). Is this right?", key, b.Stock[key].Species)})
		}
	}
	return l[:min(len(l), mostNotices)]
}

// mostNotices is how many are told; the first ones say it all.
const mostNotices = 20
