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

// slabs holds dropped slabs by size. The collector empties it when they are not
// wanted for a while.
var slabs [16]sync.Pool

func slabSize(n int) int {
	return max(0, bits.Len(uint(n-1))-slabBits)
}

func takeSlab(n int) *[]float64 {
	size := slabSize(n)
	if s, ok := slabs[size].Get().(*[]float64); ok {
		return s
	}
	s := make([]float64, slabLen<<size)
	preferLargePages(s)
	return &s
}

// giveBack hands the slabs on. Nothing cut from them may be used afterwards.
func giveBack(used []*[]float64) {
	for _, s := range used {
		slabs[slabSize(len(*s))].Put(s)
	}
}

// arena hands out memory that lives until its slabs are given back.
type arena struct {
	free []float64
	used []*[]float64
}

func (a *arena) take(n int) []float64 {
	n = (n + 7) &^ 7
	if n > len(a.free) {
		s := takeSlab(max(n, slabLen))
		a.used = append(a.used, s)
		if len(*s)-n < len(a.free) { // keep the larger rest
			return (*s)[:n:n]
		}
		a.free = *s
	}
	out := a.free[:n:n]
	a.free = a.free[n:]
	return out
}

// bytes is the memory taken so far.
func (a *arena) bytes() int64 {
	n := int64(0)
	for _, s := range a.used {
		n += 8 * int64(len(*s))
	}
	return n
}

// stock hands out short-lived slices and takes them back.
type stock struct {
	mu    sync.Mutex
	arena arena
	shelf [64 * 4][][]float64
}

// shelfOf sorts lengths into four steps per power of two.
func shelfOf(n int) (shelf, length int) {
	n = max(n, 64)
	e := bits.Len(uint(n-1)) - 1 // 2^e < n <= 2^(e+1)
	step := 1 << (e - 2)
	q := (n - 1<<e + step - 1) / step
	return 4*e + q - 1, 1<<e + q*step
}

func (s *stock) take(n int) []float64 {
	i, length := shelfOf(n)
	s.mu.Lock()
	defer s.mu.Unlock()
	if l := len(s.shelf[i]); l > 0 {
		out := s.shelf[i][l-1]
		s.shelf[i] = s.shelf[i][:l-1]
		return out[:n]
	}
	return s.arena.take(length)[:n]
}

func (s *stock) put(x []float64) {
	i, _ := shelfOf(len(x))
	s.mu.Lock()
	s.shelf[i] = append(s.shelf[i], x)
	s.mu.Unlock()
}
