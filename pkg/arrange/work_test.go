package arrange

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// pair is a build of two slices with two sticks of one kind whose rings differ.
func pair(t *testing.T) *layout.File {
	return read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 15, "moisture": 7}, "W": {"species": "black-walnut", "ring_angle": 40, "moisture": 8}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [40, 30]}, "w": {"stock": "W", "section": [25, 30]}, "e": {"stock": "W", "section": [50, 12], "ring_angle": 35}},
			"panels": {"A": {"sticks": ["m", {"stick": "m", "ring_angle": 70, "moisture": 8.5}, "w"], "length": 900, "thickness": 30},
				"E": {"sticks": ["e", "e"], "length": 900, "thickness": 12}},
			"slices": ["A"], "repeat": 2}},
		"borders": [{"panel": "E", "grain": "up", "sides": ["top"]}]}`))
}

// texts are the steps that the deeds of a board come to, those that cannot be or leave all
// as it was left out.
func texts(t *testing.T, f *layout.File, o Options) []string {
	t.Helper()
	s, err := newSpace(t.Context(), f, uniform(), o)
	require.NoError(t, err)
	var out []string
	for _, do := range s.deeds(&o) {
		w := s.work.clone()
		do(w)
		b, ok := s.boardFor(w, s.start(), o.FreePattern)
		if !ok || alike(b, s.board) && lieAlike(b, s.board) {
			continue
		}
		if !o.FreePattern {
			for i := range b.Pieces {
				assert.Equal(t, []any{s.board.Pieces[i].ID, s.board.Pieces[i].Species}, []any{b.Pieces[i].ID, b.Pieces[i].Species})
			}
		}
		var told []string
		for _, step := range w.steps(f) {
			told = append(told, step.Text())
			assert.True(t, slices.ContainsFunc(b.GlueUps, func(g layout.GlueUp) bool { return g.ID == step.Before }), step.Before)
		}
		assert.Equal(t, w.actions(f), len(told))
		if text := strings.Join(told, "; "); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// With the picture locked a maker may let two sticks of one kind change places, lay slices
// over that show the same then, and choose the face of a border; of what is glued nothing.
func TestWhatAMakerMayDoOtherwise(t *testing.T) {
	swap := "A.1 and A.2: change places"
	over := []string{"slice 1: laid over instead of as it was sawn", "slice 2: laid over instead of as it was sawn"}
	face := []string{"border 1: its slices laid end for end, so that the other face goes inwards", "border 1: its slices laid over, so that the other face goes inwards", "border 1: its slices laid over and end for end, the same face inwards"}
	f := pair(t)
	same := face[1:] // straight rings: half a turn leaves the axis
	assert.ElementsMatch(t, slices.Concat([]string{swap}, over, same), texts(t, f, Options{}))
	assert.ElementsMatch(t, slices.Concat(over, same), texts(t, f, Options{Glued: []string{"panel.A"}}))
	assert.ElementsMatch(t, same, texts(t, f, Options{Glued: []string{"field"}}))
	assert.Empty(t, texts(t, f, Options{Glued: []string{"b1"}}))
	free := texts(t, f, Options{FreePattern: true})
	assert.Contains(t, free, "A.2 and A.3: change places", "another picture")
	assert.Contains(t, free, "slice 2: laid end for end instead of as it was sawn")

	s := f.Clone()
	s.Field.Build.Slices, s.Field.Build.Repeat = []layout.SliceOf{{Panel: "A"}, {Panel: "A", Turn: "end-for-end"}, {Panel: "A"}}, 0
	assert.NotContains(t, texts(t, s, Options{}), "slice 1: laid end for end instead of as it was sawn")
}

// A long-grain strip with a pith beside it may be turned about, one as wide as the board
// is thick rolled: then its rings lie a quarter turn round. Others lie as they did.
func TestBorderStripsTurn(t *testing.T) {
	f := pair(t)
	f.Stock["P"] = layout.Material{Species: "black-cherry", Pith: &[2]layout.Length{6, -25}}
	f.Borders = []layout.Edging{{Stock: "P", Grain: "along", Width: 12, Sides: []string{"top"}}, {Stock: "W", Grain: "along", Width: 29, Sides: []string{"left"}}, {Stock: "W", Grain: "along", Width: 12, Sides: []string{"right"}}}
	var got []string
	for _, text := range texts(t, f, Options{Glued: []string{"field"}}) {
		if strings.HasPrefix(text, "border") {
			got = append(got, text)
		}
	}
	assert.Equal(t, []string{"border 1: its strips turned about their length, so that the other edge goes inwards",
		"border 2: its strips rolled a quarter turn, so that the face goes inwards instead of the edge"}, got)
	b := board(t, (&work{faces: map[int]string{1: quarter}}).file(f))
	was := board(t, f)
	for i := range b.Pieces {
		if turned := axisApart(b.Pieces[i].RingAngle, was.Pieces[i].RingAngle); b.Pieces[i].ID == "b2.left" {
			assert.InDelta(t, 90, turned, 1e-9)
		} else {
			assert.Zero(t, turned, b.Pieces[i].ID)
		}
	}
}

// What is done otherwise is the file it makes: told step by step, and back to the letter.
func TestWorkIsItsFile(t *testing.T) {
	f := pair(t)
	assert.Equal(t, string(f.JSON()), string((&work{}).file(f).JSON()))
	w := &work{faces: map[int]string{0: "over"}}
	w.swapSticks("A", 3, 0, 1)
	w.tellRows(f.Field.Build.Rows())
	w.lies[1] = "over"
	g := w.file(f)
	b := g.Field.Build
	assert.Equal(t, []any{"m", 8.5, "m"}, []any{b.Panels["A"].Sticks[0].Stick, *b.Panels["A"].Sticks[0].Moisture, b.Panels["A"].Sticks[1].Stick})
	assert.Equal(t, []layout.SliceOf{{Panel: "A"}, {Panel: "A", Turn: "over"}}, b.Slices)
	assert.Zero(t, b.Repeat)
	assert.Equal(t, "over", g.Borders[0].Turn)
	assert.Equal(t, 3, w.actions(f))
	w.swapSticks("A", 3, 0, 1)
	w.lies[1], w.faces[0] = "none", "none"
	assert.Zero(t, w.actions(f))
	assert.Equal(t, string(f.JSON()), string(w.file(f).JSON()), "told as a repeat again")
	w.lies[0], w.lies[1] = "over", "over"
	assert.Equal(t, 2, w.file(f).Field.Build.Repeat)

	laid := f.Clone()
	laid.Field.Build.Slices, laid.Field.Build.Repeat = []layout.SliceOf{{Panel: "A"}, {Stick: "m"}, {Panel: "A"}}, 0
	w = &work{}
	w.tellRows(laid.Field.Build.Rows())
	w.lies[2] = "over"
	assert.Equal(t, "slice 2", w.steps(laid)[0].Place, "a stick laid in is no slice")

	assert.Equal(t, [][2]int{{0, 2}, {1, 2}}, exchanges([]int{2, 0, 1}), "a ring of three is two swaps")
	assert.Equal(t, []string{"top", "bottom", "left"}, otherFirst([]string{"left", "top", "bottom"}))
}

// Of the short form every second slice may be laid otherwise; what turns its strips stays.
func TestSlicesOfTheShortFormAreLaidOtherwise(t *testing.T) {
	f := read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 30, "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": 50, "moisture": 8}},
		"field": {"slices": {"strips": [["M", 40], ["W", 25]], "height": 40, "count": 3, "turn": "over"}}}`))
	assert.Equal(t, []string{"every second slice: laid as it was sawn instead of over"}, texts(t, f, Options{}), "the others change the picture")
	assert.Len(t, texts(t, f, Options{FreePattern: true}), 3)
	assert.Empty(t, texts(t, f, Options{Glued: []string{"field"}}))
	best := math.Inf(1)
	for _, turn := range []string{"none", "over"} {
		g := f.Clone()
		g.Field.Slices.Turn = turn
		u, _ := exhaustive(t, g)
		best = math.Min(best, u)
	}
	r, err := Improve(context.Background(), f, uniform(), Options{Seed: 1})
	require.NoError(t, err)
	assert.LessOrEqual(t, r.After.Utilisation, best*1.05)
	assert.GreaterOrEqual(t, r.After.Utilisation, best*(1-1e-6))
}

// everyWork lists all orders of panel A, all turns of the slices and the faces of a border.
func everyWork(f *layout.File, orders [][]int) (out []*work) {
	n := len(f.Field.Build.Rows())
	for _, o := range orders {
		for mask := range 1 << n {
			for _, face := range []string{"none", "over"}[:1+len(f.Borders)] {
				w := &work{sticks: map[string][]int{"A": o}}
				w.tellRows(f.Field.Build.Rows())
				for r := range n {
					if mask>>r&1 == 1 {
						w.lies[r] = "over"
					}
				}
				if len(f.Borders) > 0 {
					w.faces = map[int]string{0: face}
				}
				out = append(out, w)
			}
		}
	}
	return out
}

// Sticks swapped and turned, slices laid over, a border's face: nothing of all of it beats
// what the search finds by more than a twentieth.
func TestASmallBuildIsMadeBest(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	f := pair(t)
	if !boardtest.Long() {
		f.KeepBorders(0)
		delete(f.Field.Build.Panels, "E")
	}
	best, n := math.Inf(1), 0
	for _, w := range everyWork(f, [][]int{{0, 1, 2}, {1, 0, 2}}) {
		u, k := exhaustive(t, w.file(f))
		best, n = math.Min(best, u), n+k
	}
	assert.GreaterOrEqual(t, n, 64)
	r, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, KeepRests: true})
	require.NoError(t, err)
	t.Logf("start %.4f, best of %d %.4f, found %.4f by %d solved: %v %v", r.Before.Utilisation, n, best, r.After.Utilisation, r.Solved, r.Steps, r.Turns)
	assert.LessOrEqual(t, r.After.Utilisation, best*1.05)
	assert.GreaterOrEqual(t, r.After.Utilisation, best*(1-1e-6))
	assert.Equal(t, r.Changed, len(r.Steps)+len(r.Turns))

	if boardtest.Long() {
		randomBuildsAreMadeBest(t)
	}
	one, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, Turns: 1})
	require.NoError(t, err)
	assert.LessOrEqual(t, one.Changed, 1, "swaps and slices count as actions")
}

// randomBuildsAreMadeBest holds searches on builds with random rings and moistures to
// everything that can be done with them.
func randomBuildsAreMadeBest(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for seed := range uint64(5) {
		f := pair(t)
		if seed%2 == 0 {
			f.KeepBorders(0)
			delete(f.Field.Build.Panels, "E")
		}
		a := f.Field.Build.Panels["A"]
		for i := range a.Sticks {
			mc := 6 + 4*rng.Float64()
			a.Sticks[i].Rings, a.Sticks[i].Moisture = layout.StickRings{layout.RingAt(math.Round(180*rng.Float64() - 90))}, &mc
		}
		best := math.Inf(1)
		for _, w := range everyWork(f, [][]int{{0, 1, 2}, {1, 0, 2}}) {
			u, _ := exhaustive(t, w.file(f))
			best = math.Min(best, u)
		}
		r, err := Improve(context.Background(), f, uniform(), Options{Seed: seed, KeepRests: true})
		require.NoError(t, err)
		t.Logf("seed %d: start %.4f, best %.4f, found %.4f, %d steps and %d turns", seed, r.Before.Utilisation, best, r.After.Utilisation, len(r.Steps), len(r.Turns))
		assert.LessOrEqual(t, r.After.Utilisation, best*1.05, "seed %d", seed)
	}
}
