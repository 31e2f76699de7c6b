package influence

import (
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
)

// What a check takes, in bytes, measured on boards on which no piece repeats
// (1,000 blocks, every one of its own rings and moisture): the factor, its
// fronts and the mesh, an element; a traction of a kind over a stretch; the forces of
// a kind on a joint as part of its glue line, a side of about five millimetres.
const (
	membraneBytes = 10 << 10 // an element, the membrane alone
	bendingBytes  = 32 << 10 // an element, with bending
	pullBytes     = 16
	sideLoadBytes = 48
	sideLength    = 5.0 // mm

	// DefaultBudget is the memory a check may take when Conditions say nothing, bytes.
	DefaultBudget = 8 << 30
)

// What a check takes of one core, an element, as an AMD EPYC with AVX-512 does it: blocks of
// 40 mm by stress and by cracks; in use 600 of eight kinds took 380 µs, and time goes with
// a power of their number a little over 1, for glue lines grow longer. Small blocks take a
// third less. A slower machine finds out by its deadline.
const (
	stressTime = 60 * time.Microsecond  // of end states by stress
	endsTime   = 200 * time.Microsecond // of end states by cracks
	useTime    = 450 * time.Microsecond // of ordinary use and mishaps as well

	leastTimed = 5000 // elements: what takes a second or two is not refused by an estimate
)

// budget is what a check may take, worked out before anything is made.
type budget struct {
	board   *layout.Board
	bytes   int64
	element int64 // bytes an element
	longest time.Duration
	each    time.Duration // an element
	modes   int64
	refine  int
}

func newBudget(b *layout.Board, o Options) *budget {
	bt := &budget{board: b, bytes: o.Budget, element: membraneBytes, longest: o.Longest, each: endsTime, modes: 1, refine: o.Refine}
	if bt.bytes <= 0 {
		bt.bytes = DefaultBudget
	}
	if o.Bending {
		bt.element, bt.each, bt.modes = bendingBytes, useTime, 3
	}
	if o.ByStress {
		bt.each = stressTime
	}
	return bt
}

// tables bounds what is kept of every kind on every stretch of every joint, which
// is pieces times kinds. It may take half the budget; the faults are at "/stock".
func (bt *budget) tables(kinds int) error {
	d := joint.AveragingLength().V
	stretches, sides := int64(0), int64(0)
	for j := range bt.board.Joints {
		stretches += 1 + int64(math.Ceil(max(0, bt.board.Joints[j].Length-d)/(d/2)))
		sides += 1 + int64(math.Ceil(bt.board.Joints[j].Length/sideLength))
	}
	each := (stretches*pullBytes + sides*sideLoadBytes) * bt.modes
	if each == 0 || each*int64(kinds) <= bt.bytes/2 {
		return nil
	}
	return fault.List{{
		Rule: fault.TooLarge, Pointer: "/stock",
		Detail: "the board has more kinds of piece (wood, grain, moisture at gluing) than it has room for",
		Found:  fmt.Sprintf("%d kinds, %s", kinds, inMemory(each*int64(kinds))), Allowed: fmt.Sprintf("about %d kinds on a board of this size", bt.bytes/2/each),
		Fix: "give pieces whose moisture differs less than a meter can tell the same moisture",
	}}
}

// elements is the most elements that fit beside the tables, and are done in time.
func (bt *budget) elements() int {
	n := bt.bytes / bt.element
	if bt.longest > 0 {
		n = min(n, max(leastTimed, int64(bt.longest/bt.each)))
	}
	return int(n)
}

// takes says what of a board of so many elements is too much.
func (bt *budget) takes(elements int) string {
	if bytes := int64(elements) * bt.element; bytes > bt.bytes {
		return fmt.Sprintf("solving this board would take about %s of memory: allowed %s", inMemory(bytes), inMemory(bt.bytes))
	}
	return fmt.Sprintf("checking this board would take about %.0f s: allowed %.0f s", (time.Duration(elements) * bt.each).Seconds(), bt.longest.Seconds())
}

// refuse turns a mesh that would be too large into the fault that blames the
// piece or the key and tells the size that would do; other errors stay.
func (bt *budget) refuse(err error) error {
	var many *mesh.TooMany
	if !errors.As(err, &many) {
		return err
	}
	f := fault.Fault{Rule: fault.TooLarge, Pointer: "/field", Detail: bt.takes(many.Elements)}
	share := float64(many.Bound) / float64(many.Elements) // of the elements that would do
	pc := &bt.board.Pieces[many.Piece]
	lo, hi := Bounds(pc.Outline)
	w, h := hi[0]-lo[0], hi[1]-lo[1]
	switch {
	case bt.refine > 0:
		f.Pointer, f.Found, f.Allowed, f.Fix = "/refine", fmt.Sprint(bt.refine), fmt.Sprintf("0 to %d", bt.refine-1), "halve the elements less often"
	case max(w, h) > blockMost:
		// elements grow with the area
		k := math.Sqrt(share)
		f.Pointer, f.Pieces = pc.Pointer, []string{pc.ID}
		f.Found, f.Allowed = inMM(w, h), "about "+inMM(k*w, k*h)
		if bt.board.Units == "in" {
			f.Fix = fmt.Sprintf("did you mean mm? In inches this piece is %.1f m long", max(w, h)/1000)
		} else {
			f.Fix = "give smaller pieces"
		}
	default:
		f.Found, f.Allowed = fmt.Sprintf("%d pieces", len(bt.board.Pieces)), fmt.Sprintf("about %d pieces like these", int(share*float64(len(bt.board.Pieces))))
		f.Fix = "check a part of the board"
		if bt.modes > 1 {
			f.Fix += ", or leave the exposures out: that takes less than half"
		}
	}
	return fault.List{f}
}

// blockMost is the length [mm] past which a piece is blamed rather than the
// number of pieces: no block of a glued board is longer (common practice, no source).
const blockMost = 1000.0

func inMM(w, h float64) string { return fmt.Sprintf("%.0f × %.0f mm", w, h) }

func inMemory(bytes int64) string {
	if bytes >= 1<<30 {
		return fmt.Sprintf("%.1f GB", float64(bytes)/(1<<30))
	}
	return fmt.Sprintf("%.0f MB", float64(bytes)/(1<<20))
}
