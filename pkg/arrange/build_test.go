package arrange

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// small is a build of two slices of three sticks, one of them glued of four woods,
// and a border of its own panel.
func small(t *testing.T) *layout.File {
	return read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 15, "moisture": 7}, "W": {"species": "black-walnut", "ring_angle": 70, "moisture": 8.5}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [40, 40]}, "w": {"stock": "W", "section": [40, 40]},
			"x": {"stock": ["M", "W", "M", "W"], "section": [40, 40], "cut": "both", "ring_angle": [15, 70, 20, 60]}, "e": {"stock": "W", "section": [60, 12], "ring_angle": 35}},
			"panels": {"A": {"sticks": ["m", {"stick": "w", "turn": "quarter"}, {"stick": "x", "end_for_end": true}], "length": 900, "thickness": 40},
				"E": {"sticks": ["e", "e"], "length": 900, "thickness": 12}},
			"slices": ["A", {"panel": "A", "turn": "over"}]}},
		"borders": [{"panel": "E", "grain": "up", "sides": ["top", "left"]}]}`))
}

// Every way of a stick, told as a turn in the file, puts all that is cut from it where
// the search takes it to be: rings, moisture, and a picture that stays.
func TestSticksAreTurnedWhole(t *testing.T) {
	f := small(t)
	s, err := newSpace(t.Context(), f, uniform(), Options{})
	require.NoError(t, err)
	ways := map[string]int{}
	for u := range s.units {
		un := &s.units[u]
		require.Equal(t, PanelStick, un.unit, un.name)
		ways[un.name] = un.ways
		for way := 1; way < un.ways; way++ {
			a := s.start()
			for _, p := range un.places {
				a[p] = s.of[p][way]
			}
			got := s.fileOf(a)
			assert.Empty(t, got.Pieces, "told as a turn of the stick")
			b := board(t, got)
			for i := range b.Pieces {
				p, was := &b.Pieces[i], &s.board.Pieces[i]
				assert.Equal(t, []any{was.ID, was.Stock}, []any{p.ID, p.Stock}, "%s, way %d", un.name, way)
				for k := range p.Outline {
					assert.InDelta(t, was.Outline[k][0], p.Outline[k][0], 1e-9, p.ID)
					assert.InDelta(t, was.Outline[k][1], p.Outline[k][1], 1e-9, p.ID)
				}
				v := &s.variants[a[i]]
				item := &s.board.Pieces[v.item]
				assert.InDelta(t, 0, axisApart(v.pos.ring(item.RingAngle), p.RingAngle), 1e-6, "%s, way %d: %s", un.name, way, p.ID)
				assert.Equal(t, v.moisture, p.Moisture)
			}
			assert.Equal(t, 1, s.changed(a), "one action")
		}
	}
	// Straight rings: four axes of a square stick, two of one that is not. The cross of
	// four woods has four ways that keep its picture, all of them different.
	assert.Equal(t, map[string]int{"A.1": 4, "A.2": 4, "A.3": 4, "E.1": 2, "E.2": 2}, ways)
}

// What is glued stays as it lies.
func TestGluedPanelsStay(t *testing.T) {
	f := small(t)
	for glued, want := range map[string][]string{"panel.A": {"E.1", "E.2"}, "field": {"E.1", "E.2"}, "panel.E": {"A.1", "A.2", "A.3"}, "b1": nil, "stick.x": {"A.1", "A.2", "A.3", "E.1", "E.2"}} {
		s, err := newSpace(t.Context(), f, uniform(), Options{Glued: []string{glued}})
		require.NoError(t, err)
		var names []string
		for _, u := range s.units {
			names = append(names, u.name)
		}
		assert.ElementsMatch(t, want, names, glued)
	}
	f.Borders[0] = layout.Edging{Stock: "W", Grain: "up", Width: 12, Blocks: 2, Sides: []string{"top"}}
	for glued, blocks := range map[string]int{"field": 2, "b1": 0} {
		s, err := newSpace(t.Context(), f, uniform(), Options{Glued: []string{glued}})
		require.NoError(t, err)
		assert.Len(t, s.units, blocks, "blocks of a border turn until it is glued on: %s", glued)
	}
	_, err := Improve(context.Background(), f, uniform(), Options{Glued: []string{"panel.Z"}})
	assert.ErrorContains(t, err, "no such glue-up")
}

// On a small build nothing beats what the search finds by more than a twentieth; it
// speaks of sticks before their glue-up.
func TestASmallBuildComesOutBest(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	f := small(t)
	f.KeepBorders(0)
	best, n := exhaustive(t, f)
	level := f.Clone() // slices that lie alike; to lay both over is to turn every stick over
	level.Field.Build.Slices[1].Turn = ""
	also, m := exhaustive(t, level)
	best = min(best, also)
	assert.Equal(t, []int{1 << (2 * len(f.Field.Build.Panels["A"].Sticks)), n}, []int{n, m})
	r, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, KeepRests: true})
	require.NoError(t, err)
	assert.LessOrEqual(t, r.After.Utilisation, best*1.05)
	assert.GreaterOrEqual(t, r.After.Utilisation, best*(1-1e-6))
	assert.Less(t, r.After.Utilisation, r.Before.Utilisation)
	for _, turn := range r.Turns {
		assert.Equal(t, PanelStick, turn.Unit)
		assert.Contains(t, []string{"A.1", "A.2", "A.3"}, turn.Place)
	}
	assert.Empty(t, r.File.Pieces)
}

// Sticks are counted by the panel they go into.
func TestSticksAreCountedByPanel(t *testing.T) {
	stick := func(place string, of int) Turn { return Turn{Unit: PanelStick, Place: place, Of: of} }
	var texts []string
	for _, s := range Sorts([]Turn{stick("A.3", 11), stick("C.1", 2), stick("C.2", 2), {Unit: Block}, stick("B.1", 1), stick("A.4", 11), stick("A.11", 11)}) {
		texts = append(texts, s.Text)
	}
	assert.Equal(t, []string{"1 block", "3 of the 11 sticks of panel A", "all 2 sticks of panel C", "1 of the 1 stick of panel B"}, texts)
}

// What is glued stays also where a board tells no build of its own: strips of a panel that
// is glued, cut sticks of a field that is, and the woods of either.
func TestGluedStaysInEveryField(t *testing.T) {
	slices := read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 30, "moisture": 8}, "W": {"species": "black-walnut", "ring_angle": 50, "moisture": 8}},
		"field": {"slices": {"strips": [["M", 40], ["W", 40]], "height": 40, "count": 2, "turn": "over"}}}`))
	for glued, f := range map[string]*layout.File{"panel.A": slices, "field": read(t, []byte(`{"tanrad": 1, "units": "mm", "thickness": 30,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 30}, "W": {"species": "black-walnut", "ring_angle": 50}},
		"tiles": {"x": {"cut": "both", "stock": ["M", "W", "M", "W"]}}, "field": {"grid": {"block": [40, 40], "rows": ["xx"]}}}`))} {
		s, err := newSpace(t.Context(), f, uniform(), Options{})
		require.NoError(t, err)
		require.NotEmpty(t, s.units, glued)
		s, err = newSpace(t.Context(), f, uniform(), Options{Glued: []string{glued}})
		require.NoError(t, err)
		assert.Empty(t, s.units, glued)
	}
	r, err := Improve(t.Context(), slices, uniform(), Options{Seed: 1, Rounds: 1, FreeSpecies: true, Glued: []string{"panel.A"}})
	require.NoError(t, err)
	assert.Empty(t, r.Swaps)
}
