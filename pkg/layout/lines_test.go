package layout_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A grid of r rows and c columns has r−1 lines of c joints and c−1 of r.
func TestLinesOfAGrid(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [40, 30], "rows": ["MWMW", "WMWM", "MWMW"]}}`))
	var long, short int
	for _, l := range b.Lines() {
		switch len(l.Joints) {
		case 4:
			long++
			assert.InDelta(t, 160, l.Length, rounding)
			assert.Less(t, l.From[0], l.To[0], "to the right")
		case 3:
			short++
			assert.InDelta(t, 90, l.Length, rounding)
			assert.Less(t, l.From[1], l.To[1], "upwards")
		default:
			t.Errorf("a line of %d joints", len(l.Joints))
		}
	}
	assert.Equal(t, 2, long)
	assert.Equal(t, 3, short)
}

// On every board every joint is on exactly one line, in its place along it.
func TestEveryJointIsOnOneLine(t *testing.T) {
	for _, f := range boardtest.Names(t) {
		b := read(t, string(boardtest.Source(t, f)))
		seen := map[int]bool{}
		for _, l := range b.Lines() {
			end := 0.0
			for _, lj := range l.Joints {
				assert.False(t, seen[lj.Joint], "%s: %s twice", f, b.Joints[lj.Joint].ID)
				seen[lj.Joint] = true
				j := &b.Joints[lj.Joint]
				from := j.From
				if lj.Reversed {
					from = j.To
				}
				at := l.Place(lj.At)
				assert.InDelta(t, at[0], from[0], layout.Snap, f)
				assert.InDelta(t, at[1], from[1], layout.Snap, f)
				assert.InDelta(t, end, lj.At, layout.Snap, "joints follow each other")
				end = lj.At + j.Length
			}
			assert.InDelta(t, l.Length, end, layout.Snap, f)
		}
		assert.Len(t, seen, len(b.Joints), f)
	}
}

// The upper half of a round inlay is two lines, however many chords it is drawn with:
// none sweeps more than 120° and comes back to where it began, and a path round the corner
// between them joins both.
func TestARoundIsAFewLines(t *testing.T) {
	for _, n := range []int{24, 90, 720} {
		b := read(t, file(round(n)))
		lines := b.Lines()
		assert.Len(t, lines, 2, "%d chords", n)
		long := 0.0
		for _, l := range lines {
			long += l.Length
			_, first, _ := l.Arm(0)
			for _, k := range l.Bends() {
				_, d, _ := l.Arm(k - 1)
				_, e, at := l.Arm(k)
				assert.Greater(t, d[0]*e[0]+d[1]*e[1], math.Cos(25*math.Pi/180))
				assert.Greater(t, first[0]*e[0]+first[1]*e[1], -0.501)
				assert.Equal(t, l.Joints[k].At, at)
			}
		}
		assert.InDelta(t, 100*math.Pi, long, 1)
		turns := b.Turns(lines)
		assert.Len(t, turns, 1)
		assert.InDelta(t, long, turns[0].Length, 1e-9)
	}
}

// A seam is one line however many chords its curve is divided into, and in whichever
// order its two pieces stand. Where a third line could be meant, none is followed.
func TestACurvedSeamIsOneLine(t *testing.T) {
	for _, n := range []int{8, 40} {
		low, high := [][2]float64{{200, 0}, {0, 0}}, [][2]float64{{0, 100}, {200, 100}}
		for i := range n + 1 {
			x := 200 * float64(i) / float64(n)
			low = append(low, [2]float64{x, 50 + 12*math.Sin(x*math.Pi/100+0.3)})
		}
		for i := range low[2:] {
			high = append(high, low[len(low)-1-i])
		}
		for _, order := range [][][][2]float64{{low, high}, {high, low}} {
			list, err := json.Marshal([]any{map[string]any{"stock": "M", "outline": order[0]}, map[string]any{"stock": "W", "outline": order[1]}})
			require.NoError(t, err)
			b := read(t, file(`"field": {"pieces": `+string(list)+`}`))
			lines := b.Lines()
			require.Len(t, lines, 1)
			assert.Len(t, lines[0].Joints, len(b.Joints))
			assert.Greater(t, len(b.Joints), n/2)
			assert.Zero(t, lines[0].Corner)
			assert.InDelta(t, 0, lines[0].From[0], 1e-9)
		}
	}
	y := read(t, file(`"field": {"pieces": [
		{"stock": "M", "outline": [[0,50],[100,50],[200,65],[200,100],[0,100]]},
		{"stock": "W", "outline": [[100,50],[200,35],[200,65]]},
		{"stock": "M", "outline": [[0,50],[0,0],[200,0],[200,35],[100,50]]}]}`))
	assert.Len(t, y.Lines(), 3)
	assert.Len(t, y.Turns(y.Lines()), 2, "either way on")
}

// round is a file of a round inlay of n chords in what is cut out for its upper half.
func round(n int) string {
	outline, rest := "", ""
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p := fmt.Sprintf("[%.6f,%.6f]", 150+100*c, 150+100*s)
		if i > 0 {
			outline, rest = outline+",", ","+rest
		}
		outline, rest = outline+p, p+rest
	}
	return fmt.Sprintf(`"field": {"pieces": [{"stock": "M", "outline": [%s]},
		{"stock": "W", "outline": [[0,150],[50,150],%s]}]}`, outline, half(n))
}

// half is the upper rim of the round, then round the outside back to the start.
func half(n int) string {
	out := ""
	for i := n / 2; i >= 0; i-- {
		if i == n/2 {
			continue // the first corner is given
		}
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out += fmt.Sprintf("[%.6f,%.6f],", 150+100*c, 150+100*s)
	}
	return out + "[300,150],[300,300],[0,300]"
}

// Turned by any angle, with corners rounded to a thousandth, lines stay whole.
func TestLinesStayWholeWhenTurned(t *testing.T) {
	for _, deg := range []float64{0, 17, 45, 90, 133, 241} {
		s, c := math.Sincos(deg * math.Pi / 180)
		list := ""
		for r := range 3 {
			for k := range 5 {
				if list != "" {
					list += ","
				}
				list += `{"stock": "M", "outline": [`
				for i, q := range [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
					x, y := 37.3*(float64(k)+q[0]), 21.9*(float64(r)+q[1])
					if i > 0 {
						list += ","
					}
					list += fmt.Sprintf("[%.3f,%.3f]", 500+c*x-s*y, 500+s*x+c*y)
				}
				list += "]}"
			}
		}
		b := read(t, file(`"field": {"pieces": [`+list+`]}`))
		assert.Len(t, b.Lines(), 6, "%g°", deg)
	}
}
