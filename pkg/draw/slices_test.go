package draw

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What each turn does to the order of strips, the ring angle and the pith,
// worked out by turning the slice as a solid: a half turn about the upright
// z, about the long edge x, and one after the other.
func TestTurnedStrips(t *testing.T) {
	pith := xy{3, -40}
	strips := []Strip{{Name: "A", Width: 10, Ring: 30}, {Name: "B", Width: 20, Ring: -50}, {Name: "C", Width: 30, Pith: &pith}}
	rotations := map[string][2]float64{"none": {1, 1}, "end-for-end": {-1, -1}, "over": {1, -1}, "both": {-1, 1}}
	for turn, r := range rotations {
		got := turnedStrips(strips, turn)
		x := 0.0
		where := map[string]float64{}
		for _, p := range got {
			where[p.Name] = x + p.Width/2
			x += p.Width
		}
		at := 0.0
		for _, p := range strips {
			// The middle of the strip about the middle of the slice, turned.
			want := 30 + r[0]*(at+p.Width/2-30)
			assert.InDelta(t, want, where[p.Name], 1e-12, "%s: place of %s", turn, p.Name)
			at += p.Width
		}
		for _, p := range got {
			before := strips[p.index]
			s, c := math.Sincos(before.Ring * math.Pi / 180)
			s2, c2 := math.Sincos(p.Ring * math.Pi / 180)
			// An axis has no sign: the turned one and the told one are parallel.
			assert.InDelta(t, 0, r[0]*c*s2-r[1]*s*c2, 1e-12, "%s: rings of %s", turn, p.Name)
			if before.Pith != nil {
				assert.Equal(t, xy{r[0] * 3, r[1] * -40}, *p.Pith, turn)
			}
		}
	}
	assert.Equal(t, xy{3, -40}, pith, "the caller's pith is left alone")
}

func TestSlicesRefuse(t *testing.T) {
	for want, spoil := range map[string]func(s *SlicePlan){
		`turn "sideways"`:       func(s *SlicePlan) { s.Turn = "sideways" },
		"without strips":        func(s *SlicePlan) { s.Strips = nil },
		"0 slices":              func(s *SlicePlan) { s.Count = 0 },
		"height of the panel":   func(s *SlicePlan) { s.Height = 0 },
		"length of a slice":     func(s *SlicePlan) { s.Thickness = math.NaN() },
		"width of strip 2":      func(s *SlicePlan) { s.Strips[1].Width = -1 },
		"ring angle of strip 1": func(s *SlicePlan) { s.Strips[0].Ring = math.Inf(1) },
		"pith of strip 3":       func(s *SlicePlan) { s.Strips[2].Pith = &xy{math.NaN(), 0} },
		"#rrggbb":               func(s *SlicePlan) { s.Strips[0].Colour = "blue" },
	} {
		s := sliceTest("over")
		spoil(&s)
		_, err := Slices(s)
		assert.ErrorContains(t, err, want)
	}
}

// Every strip has its width beside its name, and what a picture leaves out it counts:
// rows beyond those drawn, strips beyond those listed.
func TestSlicesTellWidthsAndTheRest(t *testing.T) {
	s := sliceTest("over")
	svg, err := Slices(s)
	require.NoError(t, err)
	said := texts(nodes(t, svg))
	for _, want := range []string{"black walnut, 20 mm", "padauk, 30 mm", "and 6 more rows", "Crosscut the panel: 12 slices"} {
		assert.Contains(t, said, want)
	}
	for range 30 {
		s.Strips = append(s.Strips, Strip{Name: "teak", Width: 12})
	}
	svg, err = Slices(s)
	require.NoError(t, err)
	assert.Regexp(t, `and \d+ more`, texts(nodes(t, svg)))
}
