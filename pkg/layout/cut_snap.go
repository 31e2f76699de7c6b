package layout

import "math"

// The planar map is worked out in steps, each in a file of its own:
//
//	cut_snap.go     corners that are one place become one vertex
//	cut_split.go    edges are split where a vertex stands on them (T-junctions)
//	cut_edges.go    every edge learns the pieces on its two sides
//	cut_overlap.go  pieces that share area are found
//	cut_joints.go   edges between the same two pieces become straight joints
//
// Work grows as n log n with the number of corners: vertices are found by a
// hash of places, edges by a grid of bins about as many as there are vertices.

// spots gives places a number each, so that places within Snap share one.
type spots struct {
	at    []XY
	next  []int32 // chain within a cell of the hash
	cells map[uint64]int32
}

func newSpots(n int) *spots {
	return &spots{at: make([]XY, 0, n), next: make([]int32, 0, n), cells: make(map[uint64]int32, n)}
}

// The hash has cells of Narrow, shifted so that the round numbers people use do
// not lie on the border between cells, where more cells must be looked at.
const cellShift = 0.2117

func cellOf(v float64) int32 { return int32(math.Floor((v + cellShift) / Narrow)) }

func cellKey(x, y int32) uint64 { return uint64(uint32(x))<<32 | uint64(uint32(y)) }

// near calls f for every known place within reach (at most Narrow) of p until f
// returns false.
func (s *spots) near(p XY, reach float64, f func(i int32) bool) {
	x1, y1 := cellOf(p[0]+reach), cellOf(p[1]+reach)
	for x := cellOf(p[0] - reach); x <= x1; x++ {
		for y := cellOf(p[1] - reach); y <= y1; y++ {
			i, ok := s.cells[cellKey(x, y)]
			if !ok {
				continue
			}
			for ; i >= 0; i = s.next[i] {
				if distance(p, s.at[i]) <= reach && !f(i) {
					return
				}
			}
		}
	}
}

// add returns the number of the place p. The first corner seen at a place gives
// it its coordinates; the nearest known place wins.
func (s *spots) add(p XY) int32 {
	found, best := int32(-1), math.Inf(1)
	s.near(p, Snap, func(i int32) bool {
		if d := distance(p, s.at[i]); d < best {
			found, best = i, d
		}
		return best > 0
	})
	if found >= 0 {
		return found
	}
	i := int32(len(s.at))
	key := cellKey(cellOf(p[0]), cellOf(p[1]))
	head, ok := s.cells[key]
	if !ok {
		head = -1
	}
	s.at, s.next = append(s.at, p), append(s.next, head)
	s.cells[key] = i
	return i
}
