package arrange

import (
	"encoding/binary"
	"sort"
)

// elite keeps the best few arrangements met on the way, by norm, other than those
// already solved: what the exact solution knows need not be asked again.
type elite struct {
	size  int
	known func(arrangement) bool
	found []member
}

type member struct {
	a    arrangement
	norm float64
}

func newElite(size int, known func(arrangement) bool) *elite {
	return &elite{size: size, known: known}
}

// takes tells whether a norm is among the best.
func (p *elite) takes(norm float64) bool {
	return len(p.found) < p.size || norm < p.found[p.size-1].norm
}

// offer takes an arrangement when it is among the best and not yet there.
func (p *elite) offer(a arrangement, norm float64) {
	if !p.takes(norm) {
		return
	}
	at := sort.Search(len(p.found), func(i int) bool { return p.found[i].norm > norm })
	for i := range p.found {
		if equal(p.found[i].a, a) {
			return
		}
	}
	if p.known(a) {
		return
	}
	if len(p.found) < p.size {
		p.found = append(p.found, member{})
	}
	copy(p.found[at+1:], p.found[at:])
	p.found[at] = member{a.clone(), norm}
}

func (p *elite) list() []arrangement {
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

// key names an arrangement of a space; boards with other woods, or made otherwise, have
// other keys.
func (s *space) key(a arrangement) string {
	var out []byte
	for _, v := range a {
		out = binary.AppendUvarint(out, uint64(v))
	}
	for _, w := range SpeciesOf(s.board) {
		out = append(out, w...)
	}
	if s.done > 0 {
		for _, step := range s.work.steps(s.origin) {
			out = append(out, step.Text()...)
		}
	}
	return string(out)
}
