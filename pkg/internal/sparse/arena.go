package sparse

import (
	"cmp"
	"math/bits"
	"slices"
	"sync"
	"unsafe"
	"weak"
)

// Large slices are cut from slabs, 64-byte aligned and not cleared: the runtime
// would clear each one, and the solver writes all it reads. Slabs of dropped
// factorisations serve the next ones.

const (
	slabBits = 19
	slabLen  = 1 << slabBits // numbers, 4 MB; larger slabs double
)

// idleBytes bounds the dropped slabs that are kept for good; those beyond it serve until
// the collector takes them. New memory costs a page fault and a clearing.
const idleBytes = 64 << 20

// idle holds dropped slabs by size.
var idle struct {
	mu    sync.Mutex
	bytes int
	slabs [24][]*[]float64
	loose [24][]weak.Pointer[[]float64] // that the collector may take
}

func slabSize(n int) int {
	return max(0, bits.Len(uint(n-1))-slabBits)
}

func takeSlab(n int) *[]float64 {
	size := slabSize(n)
	if s := idleSlab(size); s != nil {
		return s
	}
	s := make([]float64, slabLen<<size)
	preferLargePages(s)
	return &s
}

// idleSlab gives a dropped slab, nil when there is none.
func idleSlab(size int) *[]float64 {
	idle.mu.Lock()
	defer idle.mu.Unlock()
	for l := idle.loose[size]; len(l) > 0; l = idle.loose[size] {
		s := l[len(l)-1].Value()
		idle.loose[size] = l[:len(l)-1]
		if s != nil {
			return s
		}
	}
	if l := idle.slabs[size]; len(l) > 0 {
		s := l[len(l)-1]
		idle.slabs[size] = l[:len(l)-1]
		idle.bytes -= 8 * len(*s)
		return s
	}
	return nil
}

// giveBack hands the slabs on. Nothing cut from them may be used afterwards.
func giveBack(used []*[]float64) {
	idle.mu.Lock()
	defer idle.mu.Unlock()
	for _, s := range used {
		size := slabSize(len(*s))
		if idle.bytes+8*len(*s) > idleBytes {
			idle.loose[size] = append(idle.loose[size], weak.Make(s))
			continue
		}
		idle.slabs[size] = append(idle.slabs[size], s)
		idle.bytes += 8 * len(*s)
	}
}

// arena hands out memory that lives until its slabs are given back.
type arena struct {
	rests [4][]float64 // free ends of slabs
	used  []*[]float64
}

// take cuts n numbers from the shortest rest that has them, or from a new slab,
// whose rest then replaces the shortest one.
func (a *arena) take(n int) []float64 {
	n = (n + 7) &^ 7
	best, shortest := -1, 0
	for i, r := range a.rests {
		if len(r) >= n && (best < 0 || len(r) < len(a.rests[best])) {
			best = i
		}
		if len(r) < len(a.rests[shortest]) {
			shortest = i
		}
	}
	if best < 0 {
		s := takeSlab(max(n, slabLen))
		a.used = append(a.used, s)
		if len(*s)-n <= len(a.rests[shortest]) {
			return (*s)[:n:n]
		}
		best = shortest
		a.rests[best] = *s
	}
	out := a.rests[best][:n:n]
	a.rests[best] = a.rests[best][n:]
	return out
}

// slicePool hands out short-lived slices and takes them back: each is cut from the
// smallest gap that has room, and what comes back joins the gaps beside it. Sizes grow
// from the leaves of the tree to the root, and memory kept apart by size would be three
// times what is used at any moment.
type slicePool struct {
	mu    sync.Mutex
	slabs []*[]float64
	gaps  []gap // by address
}

// gap is a free stretch of a slab.
type gap struct {
	slab *[]float64
	at   uintptr // address
	n    int
}

// cut gives the first n numbers.
func (g *gap) cut(n int) []float64 {
	from := int(g.at-addressOf(*g.slab)) / 8
	return (*g.slab)[from : from+n : from+n]
}

func addressOf(x []float64) uintptr { return uintptr(unsafe.Pointer(unsafe.SliceData(x))) }

// take hands out n numbers.
func (s *slicePool) take(n int) []float64 {
	room := max(8, (n+7)&^7)
	s.mu.Lock()
	defer s.mu.Unlock()
	best := -1
	for i := range s.gaps {
		if g := &s.gaps[i]; g.n >= room && (best < 0 || g.n < s.gaps[best].n) {
			best = i
			if g.n == room {
				break
			}
		}
	}
	if best < 0 {
		slab := takeSlab(max(room, slabLen))
		s.slabs = append(s.slabs, slab)
		best = s.insert(gap{slab, addressOf(*slab), len(*slab)})
	}
	g := &s.gaps[best]
	out := g.cut(room)
	if g.n -= room; g.n == 0 {
		s.gaps = slices.Delete(s.gaps, best, best+1)
	} else {
		g.at += uintptr(8 * room)
	}
	return out[:n]
}

// put takes back what take handed out.
func (s *slicePool) put(x []float64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at := addressOf(x)
	for _, slab := range s.slabs {
		if first := addressOf(*slab); first <= at && at < first+uintptr(8*len(*slab)) {
			s.insert(gap{slab, at, cap(x)})
			return
		}
	}
}

// insert adds a gap, joins it to those it touches in its slab, and tells its number.
func (s *slicePool) insert(g gap) int {
	i, _ := slices.BinarySearchFunc(s.gaps, g.at, func(h gap, at uintptr) int { return cmp.Compare(h.at, at) })
	touch := func(a, b *gap) bool { return a.slab == b.slab && a.at+uintptr(8*a.n) == b.at }
	if i < len(s.gaps) && touch(&g, &s.gaps[i]) {
		s.gaps[i].at, s.gaps[i].n = g.at, g.n+s.gaps[i].n
	} else {
		s.gaps = slices.Insert(s.gaps, i, g)
	}
	if i > 0 && touch(&s.gaps[i-1], &s.gaps[i]) {
		s.gaps[i-1].n += s.gaps[i].n
		s.gaps = slices.Delete(s.gaps, i, i+1)
		i--
	}
	return i
}

// giveBack hands all slabs on.
func (s *slicePool) giveBack() { giveBack(s.slabs) }
