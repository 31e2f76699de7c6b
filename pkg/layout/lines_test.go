package layout_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

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
				s := lj.At / l.Length
				assert.InDelta(t, l.From[0]+s*(l.To[0]-l.From[0]), from[0], layout.Snap, f)
				assert.InDelta(t, l.From[1]+s*(l.To[1]-l.From[1]), from[1], layout.Snap, f)
				assert.InDelta(t, end, lj.At, layout.Snap, "joints follow each other")
				end = lj.At + j.Length
			}
			assert.InDelta(t, l.Length, end, layout.Snap, f)
		}
		assert.Len(t, seen, len(b.Joints), f)
	}
}

// A round inlay is drawn as many short chords: no chord carries the next one on
// for long, however small the angle between two.
func TestARoundIsNoLine(t *testing.T) {
	const n = 720
	outline, rest := "", ""
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		p := fmt.Sprintf("[%.6f,%.6f]", 150+100*c, 150+100*s)
		if i > 0 {
			outline, rest = outline+",", ","+rest
		}
		outline, rest = outline+p, p+rest
	}
	b := read(t, file(fmt.Sprintf(`"field": {"pieces": [{"stock": "M", "outline": [%s]},
		{"stock": "W", "outline": [[0,150],[50,150],%s]}]}`, outline, half(n))))
	for _, l := range b.Lines() {
		d := math.Hypot(l.To[0]-l.From[0], l.To[1]-l.From[1])
		sagitta := d * d / 800
		assert.LessOrEqual(t, sagitta, layout.Snap*1.01)
	}
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
