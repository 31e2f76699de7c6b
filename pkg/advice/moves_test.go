package advice

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

func byName(a *Advice, name string) []Candidate {
	var out []Candidate
	for _, m := range a.Moves {
		if m.Name == name {
			out = append(out, m)
		}
	}
	return out
}

// The law of every remedy: its figure is that of a fresh check of its board under
// the conditions asked for, but for what the board itself says of home and
// exposures.
func TestEveryFigureIsAFreshChecks(t *testing.T) {
	type question struct {
		name string
		f    *layout.File
		c    check.Conditions
	}
	asked := []question{{"end states", boardtest.File(t, "own-months.json"), uniform()}}
	if !testing.Short() {
		asked = append(asked, question{"lying events", boardtest.File(t, "own-months.json"), check.Conditions{}})
		lone := boardtest.Parse(t, []byte(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"teak","ring_angle":90,"moisture":8},"B":{"species":"american-beech","ring_angle":90,"moisture":8},"C":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"finish":"mineral-oil-wax","field":{"grid":{"block":[40,30],"rows":["BA","BB","CC","AC"]}}}`))
		asked = append(asked, question{"a build", dampBuild(t), uniform()}, question{"nothing but lying", lone, check.Conditions{Events: []moisture.Event{{Name: "flat-on-dry-counter"}, {Name: "wet-cloth"}}, Climate: mountain(t)}},
			question{"a frame", boardtest.Framed(t, "mm"), uniform()}, question{"inches", boardtest.Framed(t, "in"), check.Conditions{Shifts: []float64{-4}}})
	}
	if boardtest.Long() {
		asked = append(asked, question{"a larger frame", boardtest.File(t, "border-mitre"), uniform()}, question{"more inches", boardtest.File(t, "inch-board"), check.Conditions{Shifts: []float64{-4}}})
		for seed := range uint64(2) {
			f, faults := layout.Parse(boardgen.Any(300 + seed))
			require.Empty(t, faults)
			if _, faults := f.Board(); len(faults) == 0 {
				asked = append(asked, question{f.Name, f, check.Conditions{}})
			}
		}
	}
	for _, q := range asked {
		a, err := Moves(context.Background(), q.f, q.c, Options{Seed: 1})
		require.NoError(t, err, q.name)
		now, err := check.Board(context.Background(), boardtest.Lay(t, q.f), fresh(q.c))
		require.NoError(t, err, q.name)
		assert.InDelta(t, now.Utilisation, a.Now.Utilisation, 1e-9, q.name)
		reached := -1
		for i, m := range slices.Concat(a.Moves, a.Design) {
			if i == len(a.Moves) {
				reached = -1 // another list, the best first again
			}
			c := fresh(q.c)
			if strings.Contains(m.Name, "feet") {
				c.Events = nil
			}
			if strings.Contains(m.Name, "other-home") {
				c.Climate = nil
			}
			r, err := check.Board(context.Background(), boardtest.Lay(t, boardtest.Parse(t, m.Board)), c)
			require.NoError(t, err, "%s: %s", q.name, m.Text)
			assert.InDelta(t, r.Utilisation, m.Utilisation, 1e-5, "%s: %s", q.name, m.Text)
			assert.Equal(t, r.Verdict, m.Verdict, "%s: %s", q.name, m.Text)
			assert.InDelta(t, m.Index/a.Now.Index, m.Left, 1e-12)
			assert.LessOrEqual(t, m.Left, 1-leastGain, "%s: %s: what hardly helps is not told", q.name, m.Text)
			assert.NotEmpty(t, m.Cost.Text, m.Name)
			assert.True(t, m.Effort >= 1 && m.Effort <= most, m.Name)
			assert.GreaterOrEqual(t, m.Verdict.Severity(), reached, "the best word first")
			reached = m.Verdict.Severity()
			unit := map[string]string{"mm": " in\\b", "in": "\\bmm\\b"}[q.f.Units]
			assert.NotRegexp(t, `\d`+unit, m.Text, "lengths in the units of the board")
		}
	}
}

// With feet nothing lies flat any more; what is left of the exposures stands in the
// file, so that a check of the file alone gives the figure that is claimed.
func TestFeetSayWhatIsLeft(t *testing.T) {
	f := boardtest.Grid(t, 1, 2, 4)
	for name, c := range map[string]struct {
		asked []moisture.Event
		left  []moisture.Event
	}{
		"one of two lies": {[]moisture.Event{{Name: "flat-on-dry-counter"}, {Name: "dry-spell"}}, []moisture.Event{{Name: "dry-spell"}}},
		"the other face on the counter": {[]moisture.Event{{Name: "wash-one-face", Words: map[string]string{"rest": "lying"}}},
			[]moisture.Event{{Name: "wash-one-face", Words: map[string]string{"rest": "standing"}}}},
		"lying by default": {[]moisture.Event{{Name: "wet-cloth", Values: map[string]float64{"hours": 3}}},
			[]moisture.Event{{Name: "wet-cloth", Values: map[string]float64{"hours": 3}, Words: map[string]string{"rest": "standing"}}}},
		"nothing but lying": {[]moisture.Event{{Name: "flat-on-dry-counter"}}, nil},
		"nothing lies":      {[]moisture.Event{{Name: "dry-spell"}}, nil},
	} {
		asked := check.Conditions{Events: c.asked, ByStress: true}
		a := &adviser{f: f, b: boardtest.Lay(t, f), asked: asked, cond: asked, held: check.NewSession(0), out: &Advice{}}
		p, ok := a.feet(c.asked)
		assert.Equal(t, c.left != nil, ok, name)
		if !ok {
			continue
		}
		m, err := a.candidate(context.Background(), &p)
		require.NoError(t, err, name)
		made := boardtest.Parse(t, m.Board)
		require.Len(t, made.Exposures, len(c.left), name)
		for i, e := range c.left {
			assert.Equal(t, e.Name, made.Exposures[i].Name, name)
			assert.Equal(t, len(e.Values), len(made.Exposures[i].Values), name)
			assert.Equal(t, e.Words["rest"], made.Exposures[i].Words["rest"], name)
		}
		alone, err := check.FigureOf(context.Background(), boardtest.Lay(t, made), check.Conditions{ByStress: true})
		require.NoError(t, err, name)
		assert.InDelta(t, alone.Utilisation, m.Utilisation, 1e-5, name)
	}
}

// mountain is a home other than the file's.
func mountain(t *testing.T) *moisture.Climate {
	t.Helper()
	c, err := moisture.FindClimate("mountain-dry")
	require.NoError(t, err)
	return &c
}

// fresh are the conditions of a check without what explains it.
func fresh(c check.Conditions) check.Conditions {
	c.NoCracks, c.NoChance, c.NoCauses, c.Cache = true, true, true, nil
	return c
}

// A board is asked about as it is: of the all-teak what-if of a board of maple
// and walnut every change is one of teak, and its figures are those of teak.
func TestAdviceIsForTheBoardAskedAbout(t *testing.T) {
	f := boardtest.Framed(t, "mm")
	for key, m := range f.Stock {
		m.Species = "teak"
		f.Stock[key] = m
	}
	c := uniform()
	a, err := Moves(context.Background(), f, c, Options{Seed: 1})
	require.NoError(t, err)
	own, err := check.Board(context.Background(), boardtest.Lay(t, f), c)
	require.NoError(t, err)
	assert.InDelta(t, own.Utilisation, a.Now.Utilisation, 1e-9, "dimensionless")
	require.NotEmpty(t, byName(a, "no-border"))
	for _, m := range a.Moves {
		b := boardtest.Lay(t, boardtest.Parse(t, m.Board))
		for i := range b.Pieces {
			if len(m.Cost.Swaps) == 0 {
				assert.Equal(t, "teak", b.Pieces[i].Species, m.Name)
			}
		}
	}
}

// What a practitioner knows of a long-grain frame round an end-grain field: it
// is the frame; without it, or with end grain instead, the board lives.
func TestLongGrainFrameIsFoundOut(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	c := check.Conditions{NoHistories: true, Shifts: []float64{6}} // so small a field in so wide a frame fails only then
	f := boardtest.Parse(t, []byte(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":0,"moisture":7.5}},
		"field":{"grid":{"block":[40,40],"rows":["MWM","WMW"]}},"borders":[{"stock":"W","grain":"along","width":30,"sides":["left","right","top","bottom"]}]}`))
	a, err := Moves(context.Background(), f, c, Options{Seed: 1})
	require.NoError(t, err)
	require.Equal(t, check.Fails, a.Now.Verdict)
	for _, name := range []string{"no-border", "float-border", "border-up", "border-up-turned"} {
		m := byName(a, name)
		require.Len(t, m, 1, name)
		assert.Less(t, m[0].Left, 0.35, name)
	}
	assert.NotEmpty(t, byName(a, "float-border")[0].Note, "what is left out must be said")
}

func TestAdviceWithHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	c := check.Conditions{Events: []moisture.Event{{Name: "flat-on-dry-counter"}, {Name: "wash-one-face"}}}
	a, err := Moves(context.Background(), boardtest.Grid(t, 2, 2, 3), c, Options{Seed: 1})
	require.NoError(t, err)
	for _, name := range []string{"thicker", "thinner", "feet", "denser-finish"} {
		assert.True(t, len(byName(a, name)) == 1 || slices.Contains(a.Tried, name), name)
	}
}

func TestWaitingTellsTheDays(t *testing.T) {
	b := boardtest.Grid(t, 1, 2, 3)
	a := &adviser{f: b, b: boardtest.Lay(t, b), cond: uniform(), out: &Advice{}}
	for _, p := range a.glueUp(context.Background()) {
		if p.name == "wait-in-shop" {
			assert.Regexp(t, `for \d+ days?, until they have settled at 8\.5 %`, p.text)
			return
		}
	}
	t.Fatal("not proposed")
}

func TestAdviceStopsInTime(t *testing.T) {
	b := boardtest.File(t, "checker-long-border.json")
	ctx, cancel := context.WithCancel(context.Background())
	a := &adviser{f: b, b: boardtest.Lay(t, b), cond: uniform(), quick: true, out: &Advice{}}
	cancel()
	for _, p := range a.borders() {
		a.work(ctx, &p)
	}
	assert.Empty(t, a.out.Moves)
	assert.Len(t, a.out.Skipped, 6)
	_, err := Moves(ctx, b, uniform(), Options{Seed: 1})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestAlikeKeepsTheColourAndWhatYardsSell(t *testing.T) {
	b := boardtest.Lay(t, boardtest.File(t, "checker-random.json"))
	own, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	list := arrange.SimilarWoods(b, "sugar-maple", nil)
	require.Len(t, list, 3)
	for _, w := range list {
		assert.Equal(t, own.ColourGroup, w.ColourGroup, w.ID)
		assert.NotEqual(t, own.ID, w.ID)
		assert.True(t, arrange.Common(w), "%s: rare woods come after common ones", w.ID)
	}
}

// Woods that lie in the shop are the only ones swapped in.
func TestOnlyWoodsOfTheShop(t *testing.T) {
	a, err := Moves(context.Background(), boardtest.Grid(t, 2, 2, 5), uniform(), Options{Have: []string{"Black cherry", "hard maple"}})
	require.NoError(t, err)
	shop := []string{"black-cherry", "sugar-maple"}
	for _, m := range a.Moves {
		for _, s := range m.Cost.Swaps {
			assert.Contains(t, shop, s.To)
		}
	}
	_, err = Moves(context.Background(), boardtest.Grid(t, 1, 2, 5), uniform(), Options{Have: []string{"black cherry", "mapel"}})
	var l fault.List
	require.ErrorAs(t, err, &l)
	require.Len(t, l, 1)
	assert.Equal(t, "/have/1", l[0].Pointer)
	assert.Equal(t, fault.UnknownName, l[0].Rule)
	assert.NotEmpty(t, l[0].Nearest)
}

// A sentence names strips as strips, and counts what it lists.
func TestTurnsAreCounted(t *testing.T) {
	turns := make([]arrange.Turn, 8)
	for i := range turns {
		turns[i] = arrange.Turn{Unit: arrange.Block, Place: "r1c1", How: "turned over"}
	}
	assert.Equal(t, "Turn 8 blocks in their places: 8 turned over; the new board file tells which.", turnText(turns))
	turns = []arrange.Turn{{Unit: arrange.Strip, Place: "strip 2", Pieces: make([]string, 7), How: "rolled a quarter turn"}, {Unit: arrange.Block, Place: "b1.left.1", How: "turned over"}}
	assert.Equal(t, "Turn 1 block in its place and 1 strip before the panel is glued: strip 2 rolled a quarter turn; b1.left.1 turned over.", turnText(turns))
}

// Cautions go with advice that sends people to the machine.
func TestCautionsComeAlong(t *testing.T) {
	a, err := Moves(context.Background(), boardtest.Grid(t, 1, 2, 5), uniform(), Options{})
	require.NoError(t, err)
	topics := map[string]bool{}
	for _, c := range a.Cautions {
		topics[c.Topic] = true
	}
	assert.True(t, topics["machines"] && topics["end grain"] && topics["dust"], "%v", topics)
}

// The least there is must pass through everything.
func TestOneBlock(t *testing.T) {
	a, err := Moves(context.Background(), boardtest.Grid(t, 1, 1, 1), uniform(), Options{})
	require.NoError(t, err)
	text, err := json.Marshal(a)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"moves":[]`)
}
