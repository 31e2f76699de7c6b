package outline_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/outline"
)

var options = outline.Options{Units: "mm", Thickness: 30, Stock: map[string]string{"#abc": "sugar-maple", "oak": "white-oak"}}

func svg(inside string) []byte {
	return []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" xmlns:x="urn:x">` + inside + `</svg>`)
}

func drawn(t *testing.T, src []byte, o outline.Options) *layout.Board {
	t.Helper()
	f, faults := outline.Read(src, o)
	require.Empty(t, faults)
	b, faults := f.Board()
	require.Empty(t, faults)
	again, faults := layout.Parse(f.JSON())
	require.Empty(t, faults)
	assert.Equal(t, f.JSON(), again.JSON())
	return b
}

// The same two squares however they are drawn, and a wood told in each of the ways.
func TestShapesAndTransforms(t *testing.T) {
	right := `<rect fill="#AABBCC" x="40" y="0" width="40" height="40"/>`
	for _, left := range []string{
		`<rect id="oak-1" width="40" height="40"/>`,
		`<path id="oak.7" d="M0,0L40,0 40,40 0,40Z"/>`,
		`<path data-stock="oak" d="m0 0h40v40h-40z"/>`,
		`<path data-stock="oak" d="M40 40V0H0v40l40 0"/>`,
		`<polygon id="oak" points="0,0 40,0 40,40 0,40"/>`,
		`<polyline id="oak" points="0,0 40,0 40,40 0,40 0,0"/>`,
		`<g transform="translate(40)"><rect id="oak-1" width="40" height="40" transform="rotate(90)"/></g>`,
		`<g transform="matrix(2 0 0 2 0 0)"><a><rect id="oak-1" width="20" height="20"/></a></g>`,
		`<rect id="oak-1" width="40" height="40" transform="rotate(180 20 20)"/>`,
		`<rect id="oak-1" width="40" height="40" transform="translate(40,0),scale(-1,1)"/>`,
		`<g style="fill:rgb(170, 187, 204)"><path d="M0 0 40 0 40 40 0 40z" data-stock="oak"/></g>`,
		`<svg x="10" y="5"><rect id="oak" x="-10" y="-5" width="40" height="40"/></svg>`,
		`<rect id="oak" width="40" height="40"/><g display="none"><rect width="9"/></g><defs><path d="x"/></defs><text>oak</text><rect visibility="hidden" width="1" height="1"/>`,
	} {
		b := drawn(t, svg(left+right), options)
		require.Len(t, b.Pieces, 2, left)
		assert.Equal(t, []string{"white-oak", "sugar-maple"}, []string{b.Pieces[0].Species, b.Pieces[1].Species}, left)
		assert.InDelta(t, 1600, b.Pieces[0].Area, 1e-6, left)
		assert.Len(t, b.Joints, 1, left)
		assert.True(t, b.Pieces[0].RingUnknown)
	}
	b := drawn(t, svg(`<rect id="oak-1" width="4" height="4" data-ring-angle="25" data-grain="up"/><rect id="oak-2" y="4" width="4" height="4" data-grain="90"/>`), outline.Options{Units: "in", Thickness: 1, Stock: options.Stock})
	assert.Equal(t, []any{25.0, true, 90.0, 203.2}, []any{b.Pieces[0].RingAngle, b.Pieces[0].Grain.Up, b.Pieces[1].Grain.Angle, math.Round(b.Height*1e6) / 1e6})
	assert.Greater(t, b.Pieces[0].Centre[1], b.Pieces[1].Centre[1], "what is drawn above lies above")
}

// The scale is that of width, height and viewBox, or the option's, or one.
func TestScaleOfADrawing(t *testing.T) {
	for head, want := range map[string]float64{
		``: 40, `width="80" height="40" viewBox="0 0 80 40"`: 40, `width="4in" height="2in" viewBox="0 0 80 40"`: 50.8,
		`width="160mm" height="8cm" viewBox="0 0 80 40"`: 80, `width="72pt" height="36pt" viewBox="0 0 80 40"`: 12.7,
	} {
		src := []byte(`<svg xmlns="http://www.w3.org/2000/svg" ` + head + `><rect id="oak-1" width="40" height="40"/><rect id="oak-2" x="40" width="40" height="40"/></svg>`)
		assert.InDelta(t, want, drawn(t, src, options).Height, 1e-6, head)
		o := options
		o.Scale = 3
		assert.InDelta(t, 120, drawn(t, src, o).Height, 1e-6, head)
	}
}

// Corners of a curve lie on it, chords no further off than the tolerance and not much
// less, whatever the transform; the circle is the closed form. An arc as cubic curves
// (the usual 0.5523) keeps within 0.03 % of the radius of it.
func TestCurvesKeepTheTolerance(t *testing.T) {
	for shape, off := range map[string]float64{
		`<circle id="oak" r="30"/>`:                                                                                          0,
		`<ellipse id="oak" rx="15" ry="30" transform="scale(2 1)"/>`:                                                         0,
		`<path id="oak" d="M30 0A30 30 0 0 1-30 0A30 30 0 1 1 30,0z"/>`:                                                      0,
		`<path id="oak" d="M30,0a30 30 0 01-60 0 30 30 0 0160 0z"/>`:                                                         0,
		`<rect id="oak" x="-30" y="-30" width="60" height="60" rx="30"/>`:                                                    0,
		strings.ReplaceAll(`<path id="oak" d="M30 0C30 K K 30 0 30S-30 K-30 0S-K-30 0-30 30-K 30 0"/>`, "K", "16.568542494"): 0.03 / 100 * 30,
	} {
		for _, tolerance := range []float64{0.5, 0.1, 0.01} {
			o := options
			o.Tolerance = tolerance
			f, faults := outline.Read(svg(shape), o)
			require.Empty(t, faults, shape)
			p := f.Field.Pieces[0].Outline
			worst := 0.0
			for i, a := range p {
				b := p[(i+1)%len(p)]
				assert.InDelta(t, 30, math.Hypot(float64(a[0]), float64(a[1])), off+2e-6, shape)
				worst = math.Max(worst, 30-math.Hypot(float64(a[0]+b[0])/2, float64(a[1]+b[1])/2))
			}
			assert.LessOrEqual(t, worst, tolerance+off+1e-5, shape)
			assert.Greater(t, worst, tolerance/10, "not finer than asked: %s", shape)
		}
	}
}

// A curve that two shapes share, drawn from either end, leaves no gap.
func TestSharedCurvesMeet(t *testing.T) {
	b := drawn(t, svg(`<path id="oak-1" d="M0 0C20 0 30 30 60 10L60-20H0z"/><path fill="#abc" d="M60 10C30 30 20 0 0 0V40H60z"/>`), options)
	require.Len(t, b.Pieces, 2)
	covered := b.Pieces[0].Area + b.Pieces[1].Area
	assert.InDelta(t, 60*60, covered, 1e-3)
	quads := drawn(t, svg(`<path id="oak-1" d="M0 0Q15 20 30 0T60 0V-30H0z"/><path fill="#abc" d="M60 0Q45-20 30 0T0 0V40H60z"/>`), options)
	assert.InDelta(t, 60*70, quads.Pieces[0].Area+quads.Pieces[1].Area, 1e-3)
}

// Each shape that cannot be a piece is one fault at its place.
func TestShapesThatCannotBePieces(t *testing.T) {
	const good = `<rect id="oak-0" width="10" height="10"/>`
	for shape, want := range map[string]fault.Fault{
		`<path id="oak-1" d="M0 0L9 0 9 9"/>`:                                   {Rule: fault.Outline, Detail: `path "oak-1" in line 1 is not closed`},
		`<path id="oak-1" d="M0 0L9 x"/>`:                                       {Rule: fault.Syntax, Detail: "path data that cannot be read"},
		`<path id="oak-1" d="L0 0 9 9z"/>`:                                      {Rule: fault.Syntax, Detail: "path data that cannot be read"},
		`<path id="oak-1" d=""/>`:                                               {Rule: fault.Outline, Detail: "encloses nothing"},
		`<path id="oak-1" d="M0 0h30v30h-30zM10 10h9v9h-9z"/>`:                  {Rule: fault.Outline, Detail: "has a hole"},
		`<path id="oak-1" d="M0 0L1e308 1e308 1e308 0z" transform="scale(9)"/>`: {Rule: fault.OutOfRange, Detail: "no finite place"},
		`<rect id="oak-1" width="10%" height="9"/>`:                             {Rule: fault.WrongType, Detail: "a size or points"},
		`<circle id="oak-1" r="-3"/>`:                                           {Rule: fault.WrongType, Detail: "a size or points"},
		`<polygon id="oak-1" points="0 0 9 0 9"/>`:                              {Rule: fault.WrongType, Detail: "a size or points"},
		`<rect id="oak-1" width="9" height="9" transform="rotate(9"/>`:          {Rule: fault.Syntax, Detail: "the transform of"},
		`<use id="oak-1" href="#oak-0"/>`:                                       {Rule: fault.NotAllowed, Detail: "a copy of another shape"},
		`<rect id="a" width="9" height="9"/>`:                                   {Rule: fault.MissingKey, Detail: "nobody tells the wood"},
		`<rect id="a" fill="#123456" width="9" height="9"/>`:                    {Rule: fault.MissingKey, Detail: "nobody tells the wood of the fill"},
		`<rect id="a" fill="url(#b)" width="9" height="9"/>`:                    {Rule: fault.MissingKey, Detail: "nobody tells the wood of the fill"},
		`<style>.a{fill:red}</style><rect class="a" width="9" height="9"/>`:     {Rule: fault.NotAllowed, Detail: "a style sheet"},
		`<rect id="oak-1" data-ring-angle="flat" width="9" height="9"/>`:        {Rule: fault.WrongType, Detail: "data-ring-angle"},
		`<rect id="oak-1" data-grain="along" width="9" height="9"/>`:            {Rule: fault.WrongType, Detail: "data-grain"},
		`<svg viewBox="0 0 1 1"><rect id="oak-1" width="9" height="9"/></svg>`:  {Rule: fault.NotAllowed, Detail: "a viewBox of its own"},
	} {
		f, faults := outline.Read(svg(good+shape), options)
		require.Len(t, faults, 1, shape)
		assert.Nil(t, f)
		assert.Equal(t, []any{want.Rule, "/shapes/1"}, []any{faults[0].Rule, faults[0].Pointer}, shape)
		assert.Contains(t, faults[0].Detail, want.Detail, shape)
	}
	_, faults := outline.Read(svg(good+`<rect id="oak-1" x="5" width="10" height="10"/>`), options)
	require.Len(t, faults, 1)
	assert.Equal(t, []any{fault.Overlap, "/shapes/1"}, []any{faults[0].Rule, faults[0].Pointer})
	assert.Contains(t, faults[0].Detail, `rect "oak-0" in line 1 and rect "oak-1" in line 1 overlap`)
	_, faults = outline.Read(svg(""), options)
	require.Len(t, faults, 1)
	assert.Equal(t, "/shapes", faults[0].Pointer)
	_, faults = outline.Read(svg(good), outline.Options{Units: "feet", Thickness: math.NaN(), Scale: -1, Tolerance: math.Inf(1)})
	assert.Len(t, faults, 4)
}

// What is wrong with a board of shapes is told by the shapes, whether they have an id
// or not: a bow tie, an island, a gap too narrow.
func TestFaultsOfABoardNameTheShape(t *testing.T) {
	for src, want := range map[string][2]string{
		`<rect id="oak-0" width="10" height="10"/>` + "\n" + `<path fill="#abc" d="M10 0L20 10 20 0 10 10z"/>`:                                                             {"/shapes/1", "path in line 2: the outline crosses"},
		`<rect id="oak-0" width="10" height="10"/>` + "\n" + `<rect fill="#abc" width="10" height="10" x="30"/>`:                                                           {"/shapes/1", "piece rect in line 2 is glued"},
		`<rect fill="#abc" width="10" height="10"/>` + "\n" + `<rect width="3" height="3"/><rect fill="#abc" width="10" height="10" x="10.2"/>`:                            {"/shapes/1", "nobody tells"},
		`<rect fill="#abc" width="10" height="10"/><g visibility="hidden"><rect width="1" height="1"/></g>` + "\n" + `<rect fill="#abc" width="10" height="10" x="10.2"/>`: {"/shapes/2", "rect in line 1 and rect in line 2"},
	} {
		_, faults := outline.Read(svg(src), options)
		require.Len(t, faults, 1, src)
		assert.Equal(t, want[0], faults[0].Pointer, src)
		assert.Contains(t, faults[0].Detail, want[1], src)
	}
}

// A shape drawn twice, from another corner or the other way round, is one fault.
func TestAShapeDrawnTwiceIsOneFault(t *testing.T) {
	const first, beside = `<rect id="oak-0" width="10" height="10"/>`, `<rect id="oak-9" x="10" width="10" height="10"/>`
	for _, again := range []string{first, `<rect fill="#abc" width="10" height="10"/>`, `<path id="oak-1" d="M10 0V10H0V0z"/>`, `<path id="oak-1" d="M0 10L10 10 10 0 0 0z"/>`,
		`<rect id="oak-1" width="20" height="20" transform="scale(0.5)"/>`} {
		_, faults := outline.Read(svg(first+"\n"+again+beside), options)
		require.Len(t, faults, 1, again)
		assert.Equal(t, []any{fault.Overlap, "/shapes/1"}, []any{faults[0].Rule, faults[0].Pointer}, again)
		assert.Contains(t, faults[0].Detail, `in line 2 is drawn twice: it lies exactly on rect "oak-0" in line 1`, again)
	}
}

// Hostile documents are refused within bounds: nothing in them is expanded, fetched or
// run.
func TestHostileDrawings(t *testing.T) {
	for name, src := range map[string]string{
		"an entity":       `<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg><text>&b;</text></svg>`,
		"a file":          `<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg><text>&a;</text></svg>`,
		"a deep nest":     `<svg>` + strings.Repeat(`<g>`, 100) + strings.Repeat(`</g>`, 100) + `</svg>`,
		"no drawing":      `<html/>`,
		"nothing":         ``,
		"half":            `<svg><rect`,
		"letters":         `<?xml version="1.0" encoding="ebcdic"?><svg/>`,
		"a million moves": `<svg><path id="oak" d="M0 0` + strings.Repeat("h1v1", 150_000) + `z"/></svg>`,
	} {
		f, faults := outline.Read([]byte(src), options)
		assert.Nil(t, f, name)
		assert.NotEmpty(t, faults, name)
	}
	b := drawn(t, svg(`<script>alert(1)</script><image href="http://example.invalid/x.png"/><rect id="oak-1" onclick="x" width="40" height="40"/>`), options)
	assert.Len(t, b.Pieces, 1)
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{`<rect id="oak" width="40" height="40" rx="4"/>`, `<path id="oak" d="M0 0c1 2 3 4 5 6s7 8 9 10q1 2 3 4t5 6a1 2 3 0 1 4 5zM1,1h2v2z"/>`, `<g transform="rotate(9)skewX(3)"><polygon fill="#abc" points="0,0 40,0 40,40"/></g>`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, inside string) {
		file, faults := outline.Read(svg(inside), options)
		if (file == nil) == (len(faults) == 0) {
			t.Fatal("both or neither of file and faults")
		}
	})
}
