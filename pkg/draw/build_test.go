package draw

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// kept is a board of testdata.
func kept(name string) *layout.Board {
	src, err := os.ReadFile("../../testdata/boards/" + name + ".json")
	if err != nil {
		panic(err)
	}
	b, err := layout.Read(src)
	if err != nil {
		panic(err)
	}
	return b
}

func buildTest() *layout.Board { return kept("ok/build-sails") }

// The order of work tells every width, length, turn and rest of a build.
func TestBuildTellsTheWholeOrder(t *testing.T) {
	colours := map[string]string{"M": "#e8d9b5", "C": "#b06a3c", "W": "#5b4030"}
	svg, err := Build(buildTest(), BuildMarks{Title: "Two Sails", Colours: colours})
	require.NoError(t, err)
	golden(t, "build-sails", svg)

	b := kept("shop/harbour-lanterns")
	svg, err = Build(b, BuildMarks{Title: "Order of work", Inches: false})
	require.NoError(t, err)
	var said []string
	for _, n := range nodes(t, svg) {
		if n.name == "text" {
			said = append(said, n.text)
		}
	}
	all := strings.ReplaceAll(strings.Join(said, "\n"), "\u00a0", " ")
	for _, want := range []string{
		"36 × 16 mm", "6 of 400 mm", "8 of 200 mm", "panel A: 324 × 36 mm, 200 mm long", "panel H: 360 × 14 mm, 400 mm long",
		"slices of 43 mm, the saw takes 3.2 mm", "2 slices, 89.2 mm of 200 mm", "4 slices, 181.6 mm of 400 mm", "C, over", "field 324 × 216 mm",
		"slices of panel H, 14 mm wide", "after a rest of 10 days at 38 % and 20 °C", "then 352 × 244 mm", "then 396 × 288 mm", "43 mm to 40 mm",
	} {
		assert.True(t, strings.Contains(all, want), want)
	}
	turned := map[string]int{}
	for i := range b.Build.Sticks {
		s := &b.Build.Sticks[i]
		turned[turnMarks[s.Turn]]++
	}
	for mark, n := range turned {
		if mark != "" {
			assert.Equal(t, n+1, strings.Count(all, mark), "each turned stick, and the key: %s", mark)
		}
	}
	_, err = Build(&layout.Board{}, BuildMarks{})
	assert.ErrorContains(t, err, "without a build")
}
