package arrange

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// exhaustive solves every arrangement exactly.
func exhaustive(t *testing.T, f *layout.File) (best float64, count int) {
	t.Helper()
	c := uniform()
	s, err := newSpace(t.Context(), f, c, Options{})
	require.NoError(t, err)
	best = math.Inf(1)
	a, way := s.start(), make([]int, len(s.units))
	for {
		_, w := exactly(t, s, a, c)
		best = math.Min(best, w.Utilisation)
		count++
		u := 0
		for ; u < len(s.units); u++ {
			way[u] = (way[u] + 1) % s.units[u].ways
			for _, p := range s.units[u].places {
				a[p] = s.of[p][way[u]]
			}
			if way[u] > 0 {
				break
			}
		}
		if u == len(s.units) {
			return best, count
		}
	}
}

func TestSmallBoardsComeOutBest(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for seed := uint64(1); seed <= 2; seed++ {
		b := grid(t, 2, 2, seed)
		best, n := exhaustive(t, b)
		require.Equal(t, 256, n)
		r, err := Improve(context.Background(), b, uniform(), Options{Seed: 1})
		require.NoError(t, err)
		assert.LessOrEqual(t, r.After.Utilisation, best*1.05, "seed %d: %g at start, %d solved", seed, r.Before.Utilisation, r.Solved)
		assert.GreaterOrEqual(t, r.After.Utilisation, best*(1-1e-9), "nothing beats every arrangement there is")
	}
}

func TestSixBlocksComeOutBest(t *testing.T) {
	if testing.Short() {
		t.Skip("solves 1024 boards")
	}
	b := grid(t, 2, 3, 11)
	for _, id := range []string{"r1c2", "r2c1"} { // rings along a face: two positions instead of four
		b.Change(id, layout.Override{Ring: layout.RingAt(90)})
	}
	best, n := exhaustive(t, b)
	require.Equal(t, 1024, n)
	r, err := Improve(context.Background(), b, uniform(), Options{Seed: 1})
	require.NoError(t, err)
	assert.LessOrEqual(t, r.After.Utilisation, best*1.05, "%g at start", r.Before.Utilisation)
}

// The target of the search: a maple and walnut checker of 8 by 6 blocks with
// random rings loses at least half of its worst utilisation by turning alone.
func TestCheckerOfRandomRingsIsHalved(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := file(t, "checker-random.json")
	r, err := Improve(context.Background(), b, uniform(), Options{Seed: 1})
	require.NoError(t, err)
	assert.Less(t, r.After.Utilisation, r.Before.Utilisation/2)
	assert.Equal(t, EndDone, r.End)
	// What it says must be so: the board it writes, read and checked from scratch.
	again, was := board(t, read(t, r.Board)), board(t, b)
	rep, err := check.Board(context.Background(), again, uniform())
	require.NoError(t, err)
	assert.InDelta(t, r.After.Utilisation, rep.Utilisation, 1e-6, "dimensionless; angles go through a file")
	for i := range was.Pieces {
		assert.Equal(t, was.Pieces[i].Species, again.Pieces[i].Species, "woods are locked")
	}
	assert.Len(t, r.Turns, r.Changed)
}

// One demand: what is said before and after is what a check says of these boards
// under the same conditions, exposures and all.
func TestBeforeAndAfterAreTheChecks(t *testing.T) {
	boards := map[string]*layout.File{"blocks": grid(t, 2, 2, 5)}
	if !testing.Short() {
		boards["own months"], boards["a frame"] = file(t, "own-months"), boardtest.Framed(t, "mm")
		boards["sticks cut to tiles"] = read(t, []byte(`{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8},"W":{"species":"black-walnut","ring_angle":70,"moisture":8}},
			"tiles":{"K":{"cut":"rising","stock":["M","W"]}},"field":{"grid":{"block":[40,40],"rows":["KM","WK"]}}}`))
		boards["slices"] = read(t, []byte(`{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8},"W":{"species":"black-walnut","ring_angle":70,"moisture":8}},
			"field":{"slices":{"strips":[["M",38],["W",30]],"height":38,"count":2,"turn":"over"}}}`))
	}
	if boardtest.Long() {
		boards["many blocks"], boards["many slices"] = file(t, "checker-random"), file(t, "slices-over")
	}
	for name, b := range boards {
		for _, c := range []check.Conditions{{}, {NoHistories: true, Shifts: []float64{-4}}, {Climate: climate(t, "mountain-dry"), Events: []moisture.Event{{Name: "dry-spell"}}}} {
			r, err := Improve(context.Background(), b, c, Options{Rounds: 1, Seed: 2})
			require.NoError(t, err, name)
			for when, v := range map[*check.Figure]*layout.Board{&r.Before: board(t, b), &r.After: board(t, read(t, r.Board))} {
				rep, err := check.FigureOf(context.Background(), v, c) // that of a report: pkg/check sees to it
				require.NoError(t, err, name)
				assert.InDelta(t, rep.Utilisation, when.Utilisation, 1e-6*(1+rep.Utilisation), "dimensionless; angles go through a file: %s", name)
				assert.Equal(t, rep.Verdict, when.Verdict, name)
				assert.Equal(t, rep.LookedAt, r.LookedAt, name)
				assert.NotEmpty(t, r.Surrogate, "%s: a surrogate is named where there is one", name)
			}
			assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation, name)
		}
	}
}

func TestSearchKeepsItsLimits(t *testing.T) {
	b := file(t, "checker-random.json")
	r, err := Improve(context.Background(), b, uniform(), Options{Seed: 1, Rounds: 1, Turns: 3})
	require.NoError(t, err)
	assert.LessOrEqual(t, r.Changed, 3)
	assert.Len(t, r.Turns, r.Changed)
	assert.Less(t, r.After.Utilisation, r.Before.Utilisation)
}

func TestBlocksMayChangePlacesWhenThePatternIsFree(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := grid(t, 3, 3, 4)
	locked, err := Improve(context.Background(), b, uniform(), Options{Seed: 1, Rounds: 3})
	require.NoError(t, err)
	free, err := Improve(context.Background(), b, uniform(), Options{Seed: 1, Rounds: 3, FreePattern: true})
	require.NoError(t, err)
	assert.Less(t, free.After.Utilisation, locked.After.Utilisation)
	again, was := board(t, read(t, free.Board)), board(t, b)
	count := map[string]int{}
	for i := range was.Pieces {
		count[was.Pieces[i].Species]++
		count[again.Pieces[i].Species]--
	}
	for w, n := range count {
		assert.Zero(t, n, "as many blocks of %s as before", w)
	}
}

func TestWoodsAreSwappedForTheirLike(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := file(t, "checker-alike.json")
	r, err := Improve(context.Background(), b, uniform(), Options{Seed: 1, Rounds: 1, FreeSpecies: true})
	require.NoError(t, err)
	require.NotEmpty(t, r.Swaps)
	assert.Less(t, r.After.Utilisation, r.Before.Utilisation)
}

func TestEqualSeedsGiveEqualBoards(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := grid(t, 3, 4, 3)
	one, err := Improve(context.Background(), b, uniform(), Options{Seed: 7, Rounds: 3})
	require.NoError(t, err)
	two, err := Improve(context.Background(), b, uniform(), Options{Seed: 7, Rounds: 3, Deadline: time.Hour})
	require.NoError(t, err)
	assert.Equal(t, one, two)
}

func TestDeadlineGivesTheBestSoFar(t *testing.T) {
	b := file(t, "checker-random.json")
	seen := 0
	r, err := Improve(context.Background(), b, uniform(), Options{Rounds: 1000, Deadline: 700 * time.Millisecond, Progress: func(Progress) { seen++ }})
	require.NoError(t, err)
	assert.Equal(t, EndDeadline, r.End)
	assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation)
	assert.NotZero(t, seen)
}

func TestCancelGivesTheBestSoFar(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	b := grid(t, 2, 3, 3)
	r, err := Improve(ctx, b, uniform(), Options{Progress: func(p Progress) {
		if p.Round == 1 {
			cancel()
		}
	}})
	require.NoError(t, err)
	assert.Equal(t, EndCancel, r.End)
	cancel()
	_, err = Improve(ctx, b, uniform(), Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestOptionsOutOfRange(t *testing.T) {
	_, err := Improve(context.Background(), grid(t, 1, 2, 1), check.Conditions{}, Options{Turns: -1, Rounds: 2000, Deadline: -1})
	var l fault.List
	require.ErrorAs(t, err, &l)
	assert.Len(t, l, 3)
}

// Strips of a sliced field are turned as wholes: what is cut from one strip
// keeps the rings it has by the turning of the slices.
func TestStripsTurnAsWholes(t *testing.T) {
	for _, name := range []string{"slices-end-for-end.json", "slices-over.json"} {
		s, err := newSpace(t.Context(), file(t, name), uniform(), Options{})
		require.NoError(t, err)
		b := s.board
		for u := range s.units {
			strip := b.Pieces[s.units[u].places[0]].Pointer
			for i := range b.Pieces {
				assert.Equal(t, b.Pieces[i].Pointer == strip, s.unitOf[i] == u, "%s %s", name, b.Pieces[i].ID)
			}
		}
	}
}

// A maker has strips, not the blocks that will be cut from them.
func TestStripsAreToldAsStrips(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	f := panel(t, "end-for-end")
	b := board(t, f)
	r, err := Improve(context.Background(), f, uniform(), Options{Seed: 1, Rounds: 1})
	require.NoError(t, err)
	require.NotEmpty(t, r.Turns)
	assert.Empty(t, r.File.Pieces, "a turned strip is told as a strip in the file too")
	assert.Equal(t, len(r.Turns), r.Changed)
	seen := map[string]bool{}
	for _, turn := range r.Turns {
		assert.Equal(t, Strip, turn.Unit)
		assert.Regexp(t, `^strip ([1-9]|10|11)$`, turn.Place)
		assert.False(t, seen[turn.Place], "each strip once")
		seen[turn.Place] = true
		require.Len(t, turn.Pieces, 7, "one block of every slice")
		pieces := map[string]bool{}
		for i := range b.Pieces {
			if n, ok := stripNumber(b.Pieces[i].Pointer); ok && turn.Place == fmt.Sprintf("strip %d", n+1) {
				pieces[b.Pieces[i].ID] = true
			}
		}
		for _, id := range turn.Pieces {
			assert.True(t, pieces[id], "%s is cut from %s", id, turn.Place)
		}
		assert.NotContains(t, turn.How, "turned over,", "a strip is rolled or turned end for end")
	}
}

// Tiles come as sticks glued of triangles: a cell is turned whole, so that the
// picture stays, or a part of all sticks of one tile before they are glued.
func TestSticksTurnAsWholes(t *testing.T) {
	f := read(t, []byte(`{"tanrad":1,"units":"mm","thickness":35,"stock":{"M":{"species":"sugar-maple","ring_angle":20},"W":{"species":"black-walnut","ring_angle":65},"P":{"species":"purpleheart","ring_angle":-30},"C":{"species":"black-cherry","pith":[3,30]}},
		"field":{"grid":{"block":[45,45],"rows":["M/x","\\x=","/=y"]}},
		"tiles":{"/":{"cut":"rising","stock":["M","W"]},"\\":{"cut":"falling","stock":["W","C"]},"x":{"cut":"both","stock":["M","P","W","C"]},"=":{"cut":"both","stock":["M","W","M","W"]},"y":{"cut":"rising","stock":["M","M"]}}}`))
	s, err := newSpace(t.Context(), f, uniform(), Options{})
	require.NoError(t, err)
	kinds := map[string]int{}
	for u := range s.units {
		un := &s.units[u]
		kinds[un.unit]++
		switch un.unit {
		case Stick:
			for _, p := range un.places {
				assert.Equal(t, un.name, strings.SplitN(s.board.Pieces[p].ID, ".", 2)[0], "all of one cell")
			}
		case Part:
			assert.Len(t, un.places, 2, "%s: both cells with that tile", un.name)
		}
		for way := 1; way < un.ways; way++ {
			a := s.start()
			var g position
			for k, p := range un.places {
				a[p] = s.of[p][way]
				v := &s.variants[a[p]]
				if k == 0 {
					g = v.pos
				} else {
					assert.Equal(t, g, v.pos, "%s: all turn alike", un.name)
				}
			}
			b, err := s.boardOf(a)
			require.NoError(t, err)
			require.Len(t, b.Pieces, len(s.board.Pieces))
			for i := range b.Pieces {
				was := &s.board.Pieces[i]
				assert.Equal(t, was.Species, b.Pieces[i].Species, "%s: the picture stays", un.name)
				assert.Equal(t, was.Outline, b.Pieces[i].Outline)
				v := &s.variants[a[i]]
				from := &s.board.Pieces[v.item]
				if from.Pith == nil {
					assert.InDelta(t, 0, axisApart(v.pos.ring(from.RingAngle), b.Pieces[i].RingAngle), 1e-6, "%s: rings of %s, degrees", un.name, was.ID)
				} else { // the pith goes round with the cell
					q := v.pos.of(pithFrom(from))
					got := pithFrom(&b.Pieces[i])
					assert.InDelta(t, 0, math.Hypot(q[0]-got[0], q[1]-got[1]), 1e-6, "%s: pith of %s, mm", un.name, was.ID)
				}
			}
		}
	}
	assert.Equal(t, map[string]int{Block: 1, Stick: 6, Part: 4}, kinds, "blocks; rising, falling and two-wood cells; the four parts of x")
	r, err := Improve(context.Background(), f, uniform(), Options{Rounds: 1})
	require.NoError(t, err)
	for _, turn := range r.Turns {
		assert.NotContains(t, turn.Place, ".nw", "a triangle is not loose")
	}
	assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation)
}

// Rings are told as an axis, without the dust of arithmetic.
func TestAnglesAreToldPlainly(t *testing.T) {
	for v, want := range map[float64]float64{-179.998: 0, 180: 0, 118: -62, -90: 90, 90: 90, 44.96: 45, -0.01: 0, 270: 90} {
		got := axis(v)
		assert.Equal(t, want, got, "%g°", v)
		assert.False(t, math.Signbit(got) && got == 0, "%g°", v)
	}
}

func TestEveryGoodBoardCanBeSearched(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, name := range []string{"tiles.json", "brick-stagger.json", "hexagons.json", "border-blocks.json", "long-grain-planks.json", "pith-in-strip.json", "slices-over.json", "checker-long-border.json"} {
		b := file(t, name)
		r, err := Improve(context.Background(), b, uniform(), Options{Rounds: 1})
		require.NoError(t, err, name)
		assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation, name)
		assert.Len(t, board(t, read(t, r.Board)).Pieces, len(board(t, b).Pieces), name)
	}
}

// The least there is must pass through everything.
func TestOneBlock(t *testing.T) {
	b := grid(t, 1, 1, 1)
	r, err := Improve(context.Background(), b, uniform(), Options{})
	require.NoError(t, err)
	assert.Zero(t, r.Changed)
}

func BenchmarkImproveB48(b *testing.B) {
	board := file(b, "checker-random.json")
	for b.Loop() {
		r, err := Improve(context.Background(), board, check.Conditions{}, Options{Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(r.After.Utilisation/r.Before.Utilisation, "left/before")
	}
}

func climate(t *testing.T, key string) *moisture.Climate {
	t.Helper()
	c, err := moisture.FindClimate(key)
	require.NoError(t, err)
	return &c
}
