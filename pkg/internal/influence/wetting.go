package influence

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// wetting says how much of every piece lies under each patch of a face that an exposure
// wets. Pieces are wetted whole: one that a patch covers in part swells and bends as the
// mean of what is under it and of the rest, in quarters, so that few kinds are made.
type wetting struct {
	patches []moisture.Patch
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
			for k := range b.Pieces {
				share := clippedArea(b.Pieces[k].Outline, corners) / b.Pieces[k].Area
				w.under[k] += fmt.Sprint(math.Round(quarters * min(1, share)))
			}
		}
	}
	return w
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
	out := &wetting{patches: w.patches, under: make([]string, len(parts))}
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
	for t := range wet.stirred {
		out.stirred = append(out.stirred, mix(wet.stirred[t], dry.stirred[t]))
	}
	return out
}
