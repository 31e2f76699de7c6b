package influence

import (
	"slices"
	"sync"
)

// lineShare is the part of the budget that the stiffness of glue lines may hold: it goes
// with the square of their length, and a thousand blocks would hold two gigabytes.
const lineShare = 4

// linesMost is what they may hold at most, bytes: on boards of up to two thousand blocks
// none forgets anything.
const linesMost = 256 << 20

// lineMemory bounds what the glue lines of a board hold: those judged longest ago forget
// their stiffness, and work it out again when they are asked. It may be shared.
type lineMemory struct {
	most int64

	mu    sync.Mutex
	sum   int64
	bytes []int64 // per line
	order []int   // lines that hold something, the one judged last behind
}

// judged notes that a line was judged.
func (h *lineMemory) judged(lines []*LineModel, line int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.bytes == nil {
		h.bytes = make([]int64, len(lines))
	}
	note := func(k int) {
		now := lines[k].Crack.Bytes()
		h.sum += now - h.bytes[k]
		h.bytes[k] = now
	}
	note(line)
	if k := slices.Index(h.order, line); k >= 0 {
		h.order = slices.Delete(h.order, k, k+1)
	}
	h.order = append(h.order, line)
	for h.sum > h.most && len(h.order) > 1 {
		lines[h.order[0]].Crack.Forget()
		note(h.order[0])
		h.order = h.order[1:]
	}
}

// forgetLines lets go of the stiffness of all glue lines; they work it out again when they
// are asked.
func (m *Model) forgetLines() {
	for k, lm := range m.Lines {
		lm.Crack.Forget()
		m.held.judged(m.Lines, k)
	}
}
