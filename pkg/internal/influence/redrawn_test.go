package influence

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// drawing is how a board is drawn anew: turned, mirrored, its pieces in another order.
type drawing struct {
	deg    float64
	mirror bool
	back   bool    // the pieces in the opposite order
	digits float64 // places are rounded to this, mm; 0 for not at all
}

// redrawn writes a board as free pieces.
func redrawn(t *testing.T, b *layout.Board, d drawing) string {
	t.Helper()
	type object = map[string]any
	sin, cos := math.Sincos(d.deg * math.Pi / 180)
	place := func(p layout.XY) []float64 {
		x, y := p[0], p[1]
		if d.mirror {
			x = -x
		}
		q := []float64{1000 + cos*x - sin*y, 1000 + sin*x + cos*y}
		if d.digits > 0 {
			for a := range q {
				q[a] = math.Round(q[a]/d.digits) * d.digits
			}
		}
		return q
	}
	half := func(deg float64) float64 { return math.Remainder(deg, 180) }
	stock := object{}
	var pieces []object
	for i := range b.Pieces {
		p := &b.Pieces[i]
		require.Nil(t, p.Pith)
		ring, angle := p.RingAngle, p.Grain.Angle
		if d.mirror && p.Grain.Up {
			ring = 180 - ring
		}
		if d.mirror && !p.Grain.Up {
			ring, angle = -ring, 180-angle
		}
		one := object{"species": p.Species, "ring_angle": half(ring), "moisture": p.Moisture}
		if p.Grain.Up {
			one["ring_angle"] = half(ring + d.deg)
		} else {
			one["grain"] = half(angle + d.deg)
			// The normal beside the fibres turns with them, and half a turn turns it over.
			if math.Abs(math.Remainder(angle+d.deg-half(angle+d.deg), 360)) > 90 {
				one["ring_angle"] = half(-ring)
			}
		}
		key := "s" + p.ID
		stock[key] = one
		var list [][]float64
		for _, q := range p.Outline {
			list = append(list, place(q))
		}
		pieces = append(pieces, object{"stock": key, "outline": list})
	}
	if d.back {
		slices.Reverse(pieces)
	}
	src, err := json.Marshal(object{"tanrad": 1, "name": "redrawn", "units": "mm", "thickness": b.Thickness, "stock": stock, "glue": b.Glue,
		"finish": b.Finish, "glue_up": object{"humidity": b.GlueUp.Humidity, "temperature": b.GlueUp.Temperature}, "field": object{"pieces": pieces}})
	require.NoError(t, err)
	return string(src)
}

// Cracks along lines, round corners and through the wood do not know how the drawing lies,
// which way round it is, in which order its pieces stand, nor that its places were rounded
// to a hundredth of a millimetre: right angles are then none to the last digit.
func TestFramesDoNotKnowHowTheDrawingLies(t *testing.T) {
	butted, _ := framed()
	for name, b := range map[string]*layout.Board{"butted": butted.Board, "mitred": boardtest.Lay(t, boardtest.Framed(t, "mm"))} {
		figures := func(d drawing) (line, turn, wood float64) {
			m, err := Prepare(t.Context(), boardtest.Text(t, redrawn(t, b, d)), Options{})
			require.NoError(t, err)
			j, err := m.Judge(t.Context(), &Demand{NoHistories: true, Shifts: []float64{3}}, nil)
			require.NoError(t, err)
			for i := range j.Lines {
				line = max(line, j.Lines[i].Result.V)
			}
			for i := range j.Turns {
				turn = max(turn, j.Turns[i].Result.V)
			}
			for i := range j.Paths {
				wood = max(wood, j.Paths[i].Result.V)
			}
			return line, turn, wood
		}
		line, turn, wood := figures(drawing{})
		t.Logf("%s: line %.4f turn %.4f wood %.4f", name, line, turn, wood)
		for _, d := range []drawing{{deg: 37}, {mirror: true, deg: 90}, {back: true}, {deg: 128, digits: 0.01}} {
			l, u, w := figures(d)
			t.Logf("%+v: line %.4f turn %.4f wood %.4f", d, l, u, w)
			assert.InEpsilon(t, max(line, turn), max(l, u), 0.01, "%s %+v", name, d)
			assert.InEpsilon(t, wood, w, 0.01, "%s %+v", name, d)
		}
	}
}
