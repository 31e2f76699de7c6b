package arrange

import (
	"encoding/binary"
	"sort"
)

// pool keeps the best few arrangements met on a walk, by soft worst.
type pool struct {
	size  int
	found []pooled
}

type pooled struct {
	a    arrangement
	soft float64
}

func newPool(size int) *pool { return &pool{size: size} }

// offer takes an arrangement when it is among the best and not yet there.
func (p *pool) offer(a arrangement, soft float64) {
	if len(p.found) == p.size && soft >= p.found[p.size-1].soft {
		return
	}
	at := sort.Search(len(p.found), func(i int) bool { return p.found[i].soft > soft })
	for i := range p.found {
		if equal(p.found[i].a, a) {
			return
		}
	}
	if len(p.found) < p.size {
		p.found = append(p.found, pooled{})
	}
	copy(p.found[at+1:], p.found[at:])
	p.found[at] = pooled{a.clone(), soft}
}

func (p *pool) list() []arrangement {
	out := make([]arrangement, len(p.found))
	for i := range out {
		out[i] = p.found[i].a
	}
	return out
}

func equal(a, b arrangement) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// key names an arrangement of a space; boards with other woods have other keys.
func (s *space) key(a arrangement) string {
	var out []byte
	for _, v := range a {
		out = binary.AppendUvarint(out, uint64(v))
	}
	for _, w := range SpeciesOf(s.board) {
		out = append(out, w...)
	}
	return string(out)
}
