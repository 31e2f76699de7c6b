package sparse

import (
	"math/bits"
	"sync"
)

// Large slices are cut from slabs, 64-byte aligned and not cleared: the runtime
// would clear each one, and the solver writes all it reads. Slabs of dropped
// factorisations serve the next ones.

const (
	slabBits = 19
	slabLen  = 1 << slabBits // numbers, 4 MB; larger slabs double
)

// idleBytes bounds the dropped slabs that are kept for good; those beyond it are
// left to the collector. New memory costs a page fault and a clearing.
const idleBytes = 64 << 20

// idle holds dropped slabs by size.
var idle struct {
	mu    sync.Mutex
	bytes int
	slabs [24][]*[]float64
}

func slabSize(n int) int {
	return max(0, bits.Len(uint(n-1))-slabBits)
}

func takeSlab(n int) *[]float64 {
	size := slabSize(n)
	idle.mu.Lock()
	if l := idle.slabs[size]; len(l) > 0 {
		s := l[len(l)-1]
		idle.slabs[size] = l[:len(l)-1]
		idle.bytes -= 8 * len(*s)
		idle.mu.Unlock()
		return s
	}
	idle.mu.Unlock()
	s := make([]float64, slabLen<<size)
	preferLargePages(s)
	return &s
}

// giveBack hands the slabs on. Nothing cut from them may be used afterwards.
func giveBack(used []*[]float64) {
	idle.mu.Lock()
	defer idle.mu.Unlock()
	for _, s := range used {
		if idle.bytes+8*len(*s) > idleBytes {
			continue
		}
		size := slabSize(len(*s))
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

// slicePool hands out short-lived slices and takes them back.
type slicePool struct {
	mu        sync.Mutex
	arena     arena
	sizeClass [64 * 4][][]float64
}

// sizeClassOf sorts lengths into four steps per power of two.
func sizeClassOf(n int) (sizeClass, length int) {
	n = max(n, 64)
	e := bits.Len(uint(n-1)) - 1 // 2^e < n <= 2^(e+1)
	step := 1 << (e - 2)
	q := (n - 1<<e + step - 1) / step
	return 4*e + q - 1, 1<<e + q*step
}

// take hands out n numbers: a slice of that size class, else one from the classes up
// to twice as long, else a new one.
func (s *slicePool) take(n int) []float64 {
	i, length := sizeClassOf(n)
	s.mu.Lock()
	defer s.mu.Unlock()
	for j := i; j < min(i+5, len(s.sizeClass)); j++ {
		if l := len(s.sizeClass[j]); l > 0 {
			out := s.sizeClass[j][l-1]
			s.sizeClass[j] = s.sizeClass[j][:l-1]
			return out[:n]
		}
	}
	return s.arena.take(length)[:n]
}

func (s *slicePool) put(x []float64) {
	i, _ := sizeClassOf(cap(x))
	s.mu.Lock()
	s.sizeClass[i] = append(s.sizeClass[i], x)
	s.mu.Unlock()
}
