package layout_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/layout"
)

// The radial axis runs from the pith to the place, whatever the grain.
func TestFrameFollowsThePith(t *testing.T) {
	up := layout.Piece{Grain: layout.Grain{Up: true}, RingAngle: 12, Pith: &layout.XY{10, 0}}
	f := up.Frame(layout.XY{10, 30})
	assert.InDelta(t, 1, math.Abs(f.R[1]), 1e-12, "straight above the pith the rays run along y")
	assert.InDelta(t, 1, f.L[2], 1e-12)
	at := up.Frame(layout.XY{10, 0})
	assert.InDelta(t, math.Cos(12*math.Pi/180), math.Abs(at.R[0]), 1e-12, "at the pith itself the piece's own angle holds")

	// A plank along x whose pith lies 40 mm below its mid-plane under y = 50.
	long := layout.Piece{Grain: layout.Grain{Angle: 0}, Pith: &layout.XY{50, -40}}
	assert.InDelta(t, 1, math.Abs(long.Frame(layout.XY{7, 50}).R[2]), 1e-12, "above the pith it is flat-sawn")
	side := long.FrameAt(layout.XY{7, 90}, -40)
	assert.InDelta(t, 1, math.Abs(side.R[1]), 1e-12, "beside the pith, at its height, it is quarter-sawn")
}
