package draw

import (
	"math"
	"sort"

	"github.com/tanrad/tanrad/pkg/layout"
)

// frame carries the board to the screen.
type frame struct {
	x, y float64 // upper left corner of the board on the screen
	k    float64 // units per mm
	tall float64 // height of the board [mm]
}

func (f frame) at(p xy) xy { return xy{f.x + f.k*p[0], f.y + f.k*(f.tall-p[1])} }

func (f frame) outline(ps []xy) []xy {
	out := make([]xy, len(ps))
	for i, p := range ps {
		out[i] = f.at(p)
	}
	return out
}

// fit puts a board of w × h mm into the middle of the picture below top,
// leaving the margins of the card at both sides.
func fit(w, h, top float64) frame {
	const side, tallest = 30.0, 560.0
	k := math.Min((picWidth-2*side)/w, tallest/h)
	return frame{x: (picWidth - k*w) / 2, y: top, k: k, tall: h}
}

// lineScale thins joints and rings on boards of many small pieces.
func lineScale(b *layout.Board, k float64) float64 {
	areas := make([]float64, 0, len(b.Pieces))
	for _, q := range b.Pieces {
		areas = append(areas, math.Abs(areaOf(q.Outline)))
	}
	sort.Float64s(areas)
	side := k * math.Sqrt(areas[len(areas)/2])
	return math.Min(math.Max(side/36, 0.42), 1)
}

// areaOf is the area inside an outline, positive when counter-clockwise.
func areaOf(o []xy) float64 {
	sum := 0.0
	for i, a := range o {
		b := o[(i+1)%len(o)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}
