package influence

import (
	"context"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// pull names a stretch of a joint in one mode.
type pull struct {
	joint, window int
	mode          plate.Mode
}

// pulls are the influences of the pieces on the mean traction of the stretches that were
// asked for last, along the normal and along the joint: of one stretch all demands are sums
// of the two, and the worst stretch of a board is often that of the board under another
// moisture. It may be shared.
type pulls struct {
	mu   sync.Mutex
	keys []pull
	list [][2][]plate.Influence
}

// mostPulls is small: each has a hundred bytes for every piece.
const mostPulls = 8

// of gives the two influences of a stretch. Errors: those of Influences.
func (p *pulls) of(ctx context.Context, m *Model, k pull) (out [2][]plate.Influence, err error) {
	p.mu.Lock()
	if i := slices.Index(p.keys, k); i >= 0 {
		out = p.list[i]
		p.mu.Unlock()
		return out, nil
	}
	p.mu.Unlock()
	jm := &m.Joints[k.joint]
	n, t := make([]plate.Traction, len(jm.Trace.S)), make([]plate.Traction, len(jm.Trace.S))
	for i, c := range jm.Intervals[k.window].Weight {
		n[i].N, t[i].T = c, c
	}
	found, err := m.Plate.Influences(ctx, k.mode, []plate.Weights{{Trace: jm.Trace, Node: n}, {Trace: jm.Trace, Node: t}})
	if err != nil {
		return out, err
	}
	out = [2][]plate.Influence(found)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.keys, p.list = slices.Insert(p.keys, 0, k), slices.Insert(p.list, 0, out)
	most := min(mostPulls, len(p.keys))
	p.keys, p.list = p.keys[:most], p.list[:most]
	return out, nil
}
