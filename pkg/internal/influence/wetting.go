package influence

import (
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// wetting says how much of every piece lies under each patch of a face that an exposure
// wets or heats. Pieces are taken whole: one that a patch covers in part moves and bends as
// the mean of what is under it and of the rest, in quarters, so that few kinds are made.
type wetting struct {
	patches []moisture.Patch
	glue    []bool   // per patch: some glue line lies under it
	under   []string // per piece: its quarters under each patch, as digits
}

// quarters is in how many parts the share of a piece is told.
const quarters = 4

// wettingOf finds the patches of a board's own exposures and of further events. Such as
// do not lie on the board are left out: Demand.Check tells of them.
func wettingOf(b *layout.Board, more []moisture.Event) *wetting {
	w := &wetting{under: make([]string, len(b.Pieces))}
	for _, events := range [2][]moisture.Event{b.Exposures, more} {
		for i := range events {
			p := events[i].Patch
			if p == nil || w.number(p) >= 0 || len(p.Within(b.Width, b.Height)) > 0 {
				continue
			}
			w.patches = append(w.patches, *p)
			outline := p.Outline()
			corners := make([]layout.XY, len(outline))
			for k, q := range outline {
				corners[k] = q
			}
			w.glue = append(w.glue, slices.ContainsFunc(b.Joints, func(j layout.Joint) bool { return reaches(j.From, j.To, corners) }))
			for k := range b.Pieces {
				share := layout.SharedArea(b.Pieces[k].Outline, corners) / b.Pieces[k].Area
				w.under[k] += fmt.Sprint(math.Round(quarters * min(1, share)))
			}
		}
	}
	return w
}

// reaches says that some of a line lies within a convex outline, counter-clockwise: what
// is left of it inside every side (Cyrus and Beck 1978).
func reaches(from, to layout.XY, outline []layout.XY) bool {
	low, high := 0.0, 1.0
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		in := func(x layout.XY) float64 { return (q[0]-p[0])*(x[1]-p[1]) - (q[1]-p[1])*(x[0]-p[0]) }
		a, b := in(from), in(to)
		switch {
		case a <= 0 && b <= 0:
			return false
		case a < 0:
			low = math.Max(low, a/(a-b))
		case b < 0:
			high = math.Min(high, a/(a-b))
		}
	}
	return low < high
}

// offGlue says that an event acts on a patch under which no glue line lies.
func (m *Model) offGlue(ev *moisture.Event) bool {
	if ev.Patch == nil {
		return false
	}
	n := m.wet.number(ev.Patch)
	return n < 0 || !m.wet.glue[n]
}

// number is that of a patch, −1 when it is not known.
func (w *wetting) number(p *moisture.Patch) int {
	for i := range w.patches {
		if w.patches[i] == *p {
			return i
		}
	}
	return -1
}

// of is the wetting of a board whose pieces are parts of others.
func (w *wetting) of(parts []int) *wetting {
	out := &wetting{patches: w.patches, glue: w.glue, under: make([]string, len(parts))}
	for i, p := range parts {
		out.under[i] = w.under[p]
	}
	return out
}

// Wetted is the share of a kind (0 to 1) that lies under the patch of an event; 1 without
// a patch.
func (m *Model) Wetted(k int, ev *moisture.Event) float64 {
	if ev.Patch == nil {
		return 1
	}
	n := m.wet.number(ev.Patch)
	if n < 0 {
		return 0
	}
	return float64(m.Kinds[k].under[n]-'0') / quarters
}

// mixed is the course of a kind of which a share lies under a patch. What its wet part
// does within the thickness is told whole.
func mixed(share float64, wet, dry *kindHistory) kindHistory {
	mix := func(a, b []float64) []float64 {
		out := make([]float64, len(a))
		for i := range a {
			out[i] = share*a[i] + (1-share)*b[i]
		}
		return out
	}
	out := kindHistory{mean: mix(wet.mean, dry.mean), slope: mix(wet.slope, dry.slope), through: wet.through}
	for t := range wet.accumulated {
		out.accumulated = append(out.accumulated, mix(wet.accumulated[t], dry.accumulated[t]))
	}
	return out
}
