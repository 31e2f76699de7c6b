package layout_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// TestHugeAndHostileFilesAreRefusedWithinBounds gives files that ask for far
// more than a board. The bound on time is generous, for slow machines; that on
// memory is what a file of 10 MB may cost.
func TestHugeAndHostileFilesAreRefusedWithinBounds(t *testing.T) {
	million := strings.Repeat("M", 1000)
	rows := `"` + million + `"` + strings.Repeat(`,"`+million+`"`, 999)
	squares := func(n int, at func(i int) (x, y, w, h float64)) string {
		var b strings.Builder
		for i := range n {
			x, y, w, h := at(i)
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, `{"stock":"M","outline":%s}`, text(rect(x, y, x+w, y+h)))
		}
		return file(`"field": {"pieces": [` + b.String() + `]}`)
	}
	for name, c := range map[string]struct {
		src  string
		rule fault.Rule
	}{
		"a million blocks in rows":   {file(`"field": {"grid": {"block": [1, 1], "rows": [` + rows + `]}}`), fault.TooLarge},
		"a million blocks in a row":  {file(`"field": {"grid": {"block": [1, 1], "rows": ["` + strings.Repeat("M", 1_000_000) + `"]}}`), fault.TooLarge},
		"a million rows":             {file(`"field": {"grid": {"block": [1, 1], "rows": ["M"` + strings.Repeat(`,"M"`, 999_000) + `]}}`), fault.TooLarge},
		"a thousand million slices":  {file(`"field": {"slices": {"strips": [["M", 1]], "height": 1, "count": 1000000000, "turn": "none"}}`), fault.TooLarge},
		"slices beyond counting":     {file(`"field": {"slices": {"strips": [["M", 1]], "height": 1, "count": 1e300, "turn": "none"}}`), fault.OutOfRange},
		"21,000 free pieces":         {squares(21_000, func(i int) (x, y, w, h float64) { return float64(i % 100), float64(i / 100), 1, 1 }), fault.TooLarge},
		"20,000 times the same":      {squares(20_000, func(int) (x, y, w, h float64) { return 0, 0, 40, 40 }), fault.Overlap},
		"20,000 crossing each other": {squares(20_000, func(i int) (x, y, w, h float64) { return float64(i % 141), float64(i / 141), 300, 300 }), fault.Overlap},
		"20,000 along one line": {strings.Replace(squares(19_900, func(i int) (x, y, w, h float64) { return 0, 0, 0.5 * float64(i+1), 0.6 }), `"pieces": [`,
			`"pieces": [{"stock":"M","outline":[[0,9999],[9999,9999],[9999,0],[10000,0],[10000,10000],[0,10000]]},`, 1), fault.Overlap},
		"20,000 islands":            {squares(20_000, func(i int) (x, y, w, h float64) { return float64(i%141) * 3, float64(i/141) * 3, 2, 2 }), fault.Detached},
		"20,000 unknown stocks":     {strings.ReplaceAll(squares(20_000, func(i int) (x, y, w, h float64) { return float64(i), 0, 1, 1 }), `"stock":"M"`, `"stock":"m"`), fault.UnknownName},
		"a long row of bad letters": {file(`"field": {"grid": {"block": [1, 1], "rows": ["` + letters(20_000) + `"]}}`), fault.UnknownName},
		"ten megabytes of nothing":  {`{"tanrad": 1` + strings.Repeat(" ", 10<<20) + `}`, fault.TooLarge},
		"deep":                      {strings.Repeat(`{"field":`, 100_000), fault.TooLarge},
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			list := refused(t, c.src)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			assert.Equal(t, c.rule, list[0].Rule, list[0].Error())
			assert.LessOrEqual(t, len(list), 101)
			assert.Less(t, took, 20*time.Second)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(600<<20), "bytes allocated")
		})
	}
}

func letters(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteRune(rune(0x4e00 + i))
	}
	return b.String()
}

// TestManyPiecesOfAwkwardShapeAreReadWithinBounds reads boards that are good but
// hard on a spatial index: long thin strips, a fan, a comb.
func TestManyPiecesOfAwkwardShapeAreReadWithinBounds(t *testing.T) {
	var strips, slanted, fan []string
	for i := range 8_000 {
		x := float64(i) * 0.8
		strips = append(strips, text(rect(x, 0, x+0.8, 5000)))
	}
	for i := range 2_000 {
		x := float64(i)
		slanted = append(slanted, text([]layout.XY{{x, 0}, {x + 1, 0}, {x + 3001, 3000}, {x + 3000, 3000}}))
	}
	for i := range 170 { // corners of a little more than 2°
		a, b := 2*math.Pi*float64(i)/170, 2*math.Pi*float64(i+1)/170
		fan = append(fan, fmt.Sprintf("[[0,0],[%.6f,%.6f],[%.6f,%.6f]]", 900*math.Cos(a), 900*math.Sin(a), 900*math.Cos(b), 900*math.Sin(b)))
	}
	for name, c := range map[string]struct {
		outlines []string
		joints   int
	}{"strips": {strips, 7_999}, "slanted strips": {slanted, 1_999}, "fan": {fan, 170}} {
		t.Run(name, func(t *testing.T) {
			var parts []string
			for _, o := range c.outlines {
				parts = append(parts, `{"stock":"M","outline":`+o+`}`)
			}
			start := time.Now()
			b, err := layout.Read([]byte(file(`"field": {"pieces": [` + strings.Join(parts, ",") + `]}`)))
			require.NoError(t, err)
			assert.Len(t, b.Joints, c.joints)
			assert.Less(t, time.Since(start), 20*time.Second)
		})
	}
}

func TestLimitsOfTheCallersOwn(t *testing.T) {
	src := []byte(file(`"field": {"grid": {"block": [1, 1], "rows": ["MMM", "MMM"]}}`))
	_, err := layout.ReadWithLimits(src, layout.Limits{Pieces: 5})
	assert.ErrorContains(t, err, "too many pieces")
	_, err = layout.ReadWithLimits(src, layout.Limits{Bytes: 50})
	assert.ErrorContains(t, err, "too long")
	_, err = layout.ReadWithLimits(src, layout.Limits{Pieces: 6})
	assert.NoError(t, err)
}

// FuzzRead asks of any text: a sound board or faults with places, never both,
// never a panic.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"ok/*.json", "bad/*.json"} {
		files, err := filepath.Glob(filepath.Join(boards, pattern))
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range files {
			src, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			if !strings.HasSuffix(name, ".faults.json") && len(src) < 4096 {
				f.Add(src)
			}
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		b, err := layout.ReadWithLimits(src, layout.Limits{Bytes: 1 << 16, Pieces: 300})
		if (b == nil) == (err == nil) {
			t.Fatal("both or neither of board and faults")
		}
		if err != nil {
			list, ok := err.(fault.List)
			if !ok || len(list) == 0 {
				t.Fatalf("not a list of faults: %v", err)
			}
			return
		}
		sound(t, b)
		file, l := layout.Parse(src)
		require.Empty(t, l)
		out := file.JSON()
		again, err := layout.Read(out)
		require.NoError(t, err, "what was written must be readable: %s", out)
		require.Equal(t, b, again, "%s", out)
		file, l = layout.Parse(out)
		require.Empty(t, l)
		require.Equal(t, string(out), string(file.JSON()))
		drawn, l := file.Draw(7).Board()
		require.Empty(t, l)
		for _, p := range drawn.Pieces {
			require.False(t, p.RingUnknown, p.ID)
		}
	})
}
