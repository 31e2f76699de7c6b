package answer

import (
	"slices"

	"github.com/tanrad/tanrad/pkg/layout"
)

// RingsUnknown tells whether a board file has rings that nobody has looked at, or faults,
// which are told where it is read.
func RingsUnknown(src []byte) bool {
	_, b, err := layout.Open(src, layout.Limits{})
	return err != nil || slices.ContainsFunc(b.Pieces, func(p layout.Piece) bool { return p.RingUnknown })
}

// DrawRings gives a board file with the rings that nobody has looked at drawn at random.
// One whose rings are all known stays as it is, and so does one with faults. Equal seeds
// (1 and up) give equal files.
func DrawRings(src []byte, seed uint64) []byte {
	f, _, err := layout.Open(src, layout.Limits{})
	if err != nil || !RingsUnknown(src) {
		return src
	}
	return f.Draw(seed).JSON()
}
