package draw

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

func frameTest() (*layout.Board, Marks) {
	b, c := gridBoard(40, "MWmWMW", "WmWMWm", "mWMWmW", "WMWmWM")
	b, c = frameBoard(b, c, 30, stockTest{"black-walnut", "#6b4a34", 0})
	b.Pieces[2].Pith = &xy{140, 10}
	b.Pieces[12].Pith = &xy{55, 95}
	m := tideMarks(b, c)
	m.Title = "tide board in a walnut frame: fails"
	m.PieceMarks = []PieceMark{{9, 0.9, "splits along the rays"}, {24, 1.2, ""}, {25, 0.3, "holds"}}
	return b, m
}

func TestLayoutShowsEveryPieceAndJointOnce(t *testing.T) {
	big, colours := b600()
	boards := map[string]func() (*layout.Board, Marks){
		"frame": frameTest,
		"B600":  func() (*layout.Board, Marks) { return big, tideMarks(big, colours) },
		"bare":  func() (*layout.Board, Marks) { b, _ := gridBoard(20, "MW", "WM"); return b, Marks{Worst: -1} },
	}
	for name, make := range boards {
		t.Run(name, func(t *testing.T) {
			b, m := make()
			svg, err := Layout(b, m)
			require.NoError(t, err)
			ns := nodes(t, svg)
			seen := map[string]string{}
			for _, n := range find(ns, "data-joint") {
				id := n.attrs["data-joint"]
				assert.NotContains(t, seen, id, "joint drawn twice")
				seen[id] = n.attrs["data-utilisation"]
			}
			assert.Len(t, seen, len(b.Joints))
			for _, j := range m.Joints {
				assert.Equal(t, sig(j.Utilisation, 4), seen[b.Joints[j.Joint].ID])
			}
			pieces := map[string]bool{}
			for _, n := range find(ns, "data-piece") {
				assert.False(t, pieces[n.attrs["data-piece"]])
				pieces[n.attrs["data-piece"]] = true
			}
			assert.Len(t, pieces, len(b.Pieces))
			assert.Equal(t, "title", ns[1].name)
			assert.Equal(t, "desc", ns[2].name)
			assert.Empty(t, find(ns, "id"), "ids would clash between two pictures in one page")
			assert.NotContains(t, string(svg), "NaN")
		})
	}
}

func TestLayoutOfManyPiecesStaysSmall(t *testing.T) {
	b, c := b600()
	svg, err := Layout(b, tideMarks(b, c))
	require.NoError(t, err)
	assert.Less(t, len(svg), 410_000, "bytes for %d pieces and %d joints", len(b.Pieces), len(b.Joints))
}

func TestLayoutIsDeterministic(t *testing.T) {
	b, m := frameTest()
	first, err := Layout(b, m)
	require.NoError(t, err)
	for range 20 {
		again, err := Layout(b, m)
		require.NoError(t, err)
		require.Equal(t, first, again)
	}
}

func TestLayoutGolden(t *testing.T) {
	b, m := frameTest()
	svg, err := Layout(b, m)
	require.NoError(t, err)
	golden(t, "layout-frame", svg)

	b, c := gridBoard(25.4, "MWC", "PGD")
	svg, err = Layout(b, Marks{Title: "six woods", Colours: c, Inches: true, Worst: -1})
	require.NoError(t, err)
	golden(t, "layout-bare", svg)
}

func TestLayoutSaysVerdictScaleAndWorst(t *testing.T) {
	b, m := frameTest()
	svg, err := Layout(b, m)
	require.NoError(t, err)
	ns := nodes(t, svg)
	read := texts(ns)
	for _, want := range []string{m.Title, "holds", "tight", "doubtful", "fails", "below 0.5", "1 and above", "50 mm",
		"300 × 220 × 40 mm", "sugar maple", "black walnut", "Worst joint"} {
		assert.Contains(t, read, want)
	}
	assert.Contains(t, ns[2].text, "Worst joint: "+b.Joints[m.Worst].ID)
	m.Inches = true
	svg, err = Layout(b, m)
	require.NoError(t, err)
	assert.Contains(t, texts(nodes(t, svg)), "11 13/16 × 8 11/16 × 1 9/16 in") // 300, 220, 40 mm
}

func TestLayoutMarksOnlyWoodThatIsNotSafe(t *testing.T) {
	b, m := frameTest()
	svg, err := Layout(b, m)
	require.NoError(t, err)
	var ids []string
	for _, n := range find(nodes(t, svg), "data-wood") {
		ids = append(ids, n.attrs["data-wood"])
	}
	assert.Equal(t, []string{b.Pieces[9].ID, b.Pieces[24].ID}, ids)
}

// Names come from strangers: whatever they hold, the picture stays well-formed,
// has no element of theirs, and what can be shown is shown.
func TestLayoutEscapesNames(t *testing.T) {
	for _, name := range nasty {
		b, m := frameTest()
		m.Title, m.Subtitle, m.Callout = name, name, name
		m.Joints[0].How = name
		m.PieceMarks[0].Text = name
		b.Pieces[0].ID, b.Pieces[0].Species, b.Joints[0].ID = name, name, name
		checkSafe(t, b, m)
	}
}

var nasty = []string{
	"<script>alert(1)</script>", `"><image href="http://x/"/>`, "]]>", "<!-- ", "&amp;&bogus;", "a'b\"c", "\x00\x01\x1f",
	"\xff\xfe bad utf-8 \xc3", "\ufffe\uffff", "tab\tnew\nline", "\u202egnp.exe", "木板 🪵 доска", "e\u0301\u0301\u0301",
	strings.Repeat("W", 5000), strings.Repeat("long words of no end ", 400), "   ", "%s%d%n", "{{.}}",
}

func checkSafe(t *testing.T, b *layout.Board, m Marks) {
	t.Helper()
	svg, err := Layout(b, m)
	require.NoError(t, err)
	known := map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "path": true, "rect": true, "text": true}
	for _, n := range nodes(t, svg) {
		require.True(t, known[n.name], "element %s", n.name)
		for a := range n.attrs {
			require.False(t, strings.HasPrefix(a, "on") || a == "href", "attribute %s", a)
		}
		if n.name == "text" {
			require.Less(t, len([]rune(n.text)), 400)
		}
	}
	require.NotContains(t, string(svg), "\u202e")
}

func FuzzLayoutNames(f *testing.F) {
	for _, s := range nasty {
		f.Add(s)
	}
	b, m := frameTest()
	f.Fuzz(func(t *testing.T, name string) {
		m.Title, m.Subtitle, m.Callout = name, name, name
		b.Pieces[0].Species, b.Joints[0].ID = name, name
		checkSafe(t, b, m)
	})
}

func TestLayoutRefuses(t *testing.T) {
	good := func() (*layout.Board, Marks) { return frameTest() }
	cases := map[string]struct {
		spoil func(b *layout.Board, m *Marks)
		want  string
	}{
		"no pieces":         {func(b *layout.Board, m *Marks) { b.Pieces = nil }, "without pieces"},
		"no size":           {func(b *layout.Board, m *Marks) { b.Width = 0 }, "has no picture"},
		"two corners":       {func(b *layout.Board, m *Marks) { b.Pieces[3].Outline = b.Pieces[3].Outline[:2] }, "has 2 corners"},
		"endless":           {func(b *layout.Board, m *Marks) { b.Height = 1e300 }, "beyond"},
		"NaN corner":        {func(b *layout.Board, m *Marks) { b.Pieces[3].Outline[1][0] = math.NaN() }, "piece r1c4"},
		"infinite pith":     {func(b *layout.Board, m *Marks) { b.Pieces[3].Pith = &xy{math.Inf(1), 0} }, "pith of piece r1c4"},
		"joint off board":   {func(b *layout.Board, m *Marks) { m.Joints[0].Joint = 9999 }, "joint 9999"},
		"two marks":         {func(b *layout.Board, m *Marks) { m.Joints[0].Joint = 1 }, "two marks"},
		"NaN utilisation":   {func(b *layout.Board, m *Marks) { m.Joints[4].Utilisation = math.NaN() }, "utilisation of joint"},
		"below 0":           {func(b *layout.Board, m *Marks) { m.Joints[4].Utilisation = -0.1 }, "below 0"},
		"colours too few":   {func(b *layout.Board, m *Marks) { m.Colours = m.Colours[1:] }, "27 colours for 28 pieces"},
		"bad colour":        {func(b *layout.Board, m *Marks) { m.Colours[0] = "red;}" }, "#rrggbb"},
		"worst off board":   {func(b *layout.Board, m *Marks) { m.Worst = 9999 }, "worst joint 9999"},
		"piece off board":   {func(b *layout.Board, m *Marks) { m.PieceMarks[0].Piece = -1 }, "piece -1"},
		"infinite in piece": {func(b *layout.Board, m *Marks) { m.PieceMarks[0].Utilisation = math.Inf(1) }, "utilisation of piece"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			b, m := good()
			c.spoil(b, &m)
			svg, err := Layout(b, m)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
			assert.Nil(t, svg)
		})
	}
}
