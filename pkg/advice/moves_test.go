package advice

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
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

// Every figure must be that of its own board, read and checked by itself.
func TestAdviceIsRecomputed(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	c := check.Conditions{NoHistories: true, NoCracks: true}
	a, err := Moves(context.Background(), file(t, "border-mitre.json"), c, 1)
	require.NoError(t, err)
	require.NotEmpty(t, a.Moves)
	last := 0.0
	for _, m := range a.Moves {
		r, err := check.Board(context.Background(), board(t, read(t, m.Board)), c)
		require.NoError(t, err, m.Text)
		assert.InDelta(t, r.Utilisation, m.Utilisation, 1e-6*(1+r.Utilisation), "dimensionless; angles go through a file: %s", m.Text)
		assert.Equal(t, check.VerdictOf(m.Utilisation), m.Verdict)
		assert.InDelta(t, m.Utilisation/a.Utilisation, m.Left, 1e-12)
		assert.NotEmpty(t, m.Cost.Text, m.Name)
		assert.GreaterOrEqual(t, m.Utilisation, last, "the most helpful first")
		last = m.Utilisation
	}
	assert.NotEmpty(t, a.Skipped, "thickness and finish make no difference to uniform states")
}

// What a practitioner knows of a long-grain frame round an end-grain field: it
// is the frame; without it, or with end grain instead, the board lives.
func TestLongGrainFrameIsFoundOut(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	c := check.Conditions{NoHistories: true}
	a, err := Moves(context.Background(), file(t, "checker-long-border.json"), c, 1)
	require.NoError(t, err)
	require.Equal(t, check.Fails, a.Verdict)
	for _, name := range []string{"no-border", "float-border", "border-up", "border-up-turned"} {
		m := byName(a, name)
		require.Len(t, m, 1, name)
		assert.Less(t, m[0].Left, 0.3, name)
	}
	narrow := byName(a, "narrower-border")
	require.Len(t, narrow, 2)
	for _, m := range narrow {
		assert.Less(t, m.Left, 1.0)
	}
	assert.NotEmpty(t, byName(a, "float-border")[0].Note, "what is left out must be said")
}

func TestAdviceWithHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	c := check.Conditions{Events: []moisture.Event{{Name: "flat-on-dry-counter"}, {Name: "wash-one-face"}}}
	a, err := Moves(context.Background(), grid(t, 2, 2, 3), c, 1)
	require.NoError(t, err)
	for _, name := range []string{"thicker", "thinner", "feet", "denser-finish"} {
		assert.Len(t, byName(a, name), 1, name)
	}
	assert.Less(t, byName(a, "denser-finish")[0].Utilisation, a.Utilisation)
}

func TestWaitingTellsTheDays(t *testing.T) {
	a, err := Moves(context.Background(), grid(t, 1, 2, 3), check.Conditions{NoHistories: true}, 1)
	require.NoError(t, err)
	m := byName(a, "wait-in-shop")
	require.Len(t, m, 1)
	assert.Regexp(t, `for \d+ days?, until they have settled at 8\.5 %`, m[0].Text)
}

func TestAdviceStopsInTime(t *testing.T) {
	b := file(t, "checker-long-border.json")
	ctx, cancel := context.WithCancel(context.Background())
	a := &adviser{f: b, b: board(t, b), cond: uniform(), quick: true, out: &Advice{Utilisation: 1}}
	cancel()
	for _, p := range a.borders() {
		a.work(ctx, &p)
	}
	assert.Empty(t, a.out.Moves)
	assert.Len(t, a.out.Skipped, 6)
	_, err := Moves(ctx, b, uniform(), 1)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestAlikeKeepsTheColour(t *testing.T) {
	b := board(t, file(t, "checker-random.json"))
	own, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	list := arrange.Alike(b, "sugar-maple")
	require.Len(t, list, 3)
	for _, w := range list {
		assert.Equal(t, own.ColourGroup, w.ColourGroup, w.ID)
		assert.NotEqual(t, own.ID, w.ID)
	}
}

// The least there is must pass through everything.
func TestOneBlock(t *testing.T) {
	_, err := Moves(context.Background(), grid(t, 1, 1, 1), uniform(), 1)
	require.NoError(t, err)
}

// A board is asked about as it is: of the all-teak what-if of a board of maple
// and walnut every change is one of teak, and its figures are those of teak.
func TestAdviceIsForTheBoardAskedAbout(t *testing.T) {
	f := file(t, "border-mitre.json").Clone()
	for key, m := range f.Stock {
		m.Species = "teak"
		f.Stock[key] = m
	}
	c := uniform()
	a, err := Moves(context.Background(), f, c, 1)
	require.NoError(t, err)
	own, err := check.Board(context.Background(), board(t, f), c)
	require.NoError(t, err)
	assert.InDelta(t, own.Utilisation, a.Utilisation, 1e-9, "dimensionless")
	require.NotEmpty(t, byName(a, "no-border"))
	for _, m := range a.Moves {
		b := board(t, read(t, m.Board))
		for i := range b.Pieces {
			if len(m.Cost.Swaps) == 0 {
				assert.Equal(t, "teak", b.Pieces[i].Species, m.Name)
			}
		}
	}
}
