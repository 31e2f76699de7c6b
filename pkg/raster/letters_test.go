package raster

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/sfnt"
)

// Every letter of every kept picture has a glyph in each of the fonts: none becomes a box.
func TestNoLetterIsABox(t *testing.T) {
	f, err := faces()
	require.NoError(t, err)
	names, err := filepath.Glob("../../testdata/*/svg/*.svg")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	told := map[rune]string{}
	for _, name := range names {
		svg, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`>([^<]*)</text>`).FindAllSubmatch(svg, -1) {
			for _, r := range string(m[1]) {
				told[r] = name
			}
		}
	}
	for r, name := range told {
		for _, font := range []*sfnt.Font{f.regular, f.bold, f.italic} {
			g, err := font.GlyphIndex(new(sfnt.Buffer), r)
			require.NoError(t, err)
			assert.NotZero(t, g, "%c, %U, in %s", r, r, name)
		}
	}
}
