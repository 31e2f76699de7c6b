package diagnose

import (
	"context"
	"flag"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

var all = flag.Bool("all", false, "take every explanation as the truth, on more boards: minutes")

// hems is the smallest board with a border of end grain in two stages and one of long grain
// round it: border-two-stage of testdata with a field of two blocks.
const hems = "hems"

// bare are the two blocks of hems by themselves.
const bare = "bare"

// file reads a board of testdata, hems or bare.
func file(t testing.TB, name string) *layout.File {
	t.Helper()
	if name != hems && name != bare {
		return boardtest.File(t, name)
	}
	f := boardtest.File(t, "border-two-stage")
	f.Repeat(1, 2)
	if name == bare {
		f.KeepBorders(0)
	}
	return f
}

func board(t testing.TB, name string) *layout.Board {
	t.Helper()
	return boardtest.Lay(t, file(t, name))
}

// witness tells what somebody sees when an explanation is true: the joint it
// asks most of, on which face, in which month, how old, after which event.
func witness(b *layout.Board, v *variant, s *scene, o *outcome) Observation {
	at := 0
	for j := range o.joints {
		if o.joints[j].u > o.joints[at].u {
			at = j
		}
	}
	d := o.joints[at]
	w := Observation{Joint: b.Joints[at].ID, Where: InJoint, Month: d.month}
	switch d.level {
	case 0:
		w.Depth = Through
	case 1:
		w.Depth, w.Face = OnFace, Top
	case -1:
		w.Depth, w.Face = OnFace, Bottom
	}
	if s.event != nil {
		w.Event = s.event.Name
	}
	days := 200.0
	if d.days >= 0 {
		days = d.days
	}
	if v.kind == ByGluing {
		days = 30
	}
	w.Age = &days
	return w
}

// truth is an explanation taken as true.
type truth struct {
	key string
	v   variant
	s   scene
}

func truths(t *testing.T, f *layout.File, b *layout.Board) (out []truth) {
	t.Helper()
	home, err := climate(b, "")
	require.NoError(t, err)
	driest, _, _, _ := home.Extremes()
	settled := settledScenes(home)
	told := variant{board: b, told: true, prior: 1}
	for _, s := range append(slices.Clone(settled), eventScenes(b, home, driest+1)...) {
		out = append(out, truth{s.key, told, s})
	}
	for _, v := range gluingVariants(f, b, place{everywhere: true}) {
		for _, s := range settled {
			out = append(out, truth{v.key + "+" + s.key, v, s})
		}
	}
	return out
}

// opensAtAll is the utilisation below which an explanation opens nothing, so that
// nobody can be its witness.
const opensAtAll = 0.5

// TestTruthIsRankedFirst takes explanations one by one as the truth, lets a
// witness tell what it does, and wants it back: first, or alike with the first.
// A border that holds the field is part of the truth "season".
//
// With -all it takes every explanation on five boards. Of 103, 98 come back
// first or alike; the other five are one stock glued wetter or drier than told,
// where another mistake at gluing opens the same joint more surely, and all of
// them are among the first seven.
func TestTruthIsRankedFirst(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	boards := []string{hems}
	if boardtest.Long() {
		boards = append(boards, "border-two-stage", "own-months", "brick-stagger")
	}
	some := []string{"damp-season", "year-at-home", "wash-one-face/top", "wet-cloth/bottom", "dishwasher", "near-heat/top", "hot-pan/top", "damp-shop",
		"stock-wetter/M+dry-season", "stock-wetter/W+damp-season", "border-wetter+dry-season", "all-drier+damp-season"}
	if *all {
		boards = append(boards, "tiles", "checker-end-border")
	}
	asked, back := 0, 0
	for _, name := range boards {
		b := board(t, name)
		for _, tr := range truths(t, file(t, name), b) {
			if !*all && !slices.Contains(some, tr.key) {
				continue
			}
			r, err := newRunner(context.Background(), tr.v.board, check.Conditions{}, tr.s.event != nil)
			require.NoError(t, err)
			o, err := r.run(context.Background(), &tr.s)
			require.NoError(t, err)
			if !slices.ContainsFunc(o.joints, func(d demand) bool { return d.u >= opensAtAll }) {
				continue
			}
			d, err := Board(context.Background(), file(t, name), witness(b, &tr.v, &tr.s, o), Options{Most: 200})
			require.NoError(t, err)
			rank := slices.IndexFunc(d.Hypotheses, func(h Hypothesis) bool { return h.Key == tr.key || h.Key == "border-holds+"+tr.key })
			require.GreaterOrEqual(t, rank, 0, "%s: %s is not even listed; first is %s", name, tr.key, d.Hypotheses[0].Key)
			h := &d.Hypotheses[rank]
			asked++
			if h.Alike {
				back++
			}
			t.Logf("%-20s %-32s rank %d, alike %v, %.0f %% here against %.0f %%", name, tr.key, rank+1, h.Alike, 100*h.Utilisation, 100*h.Elsewhere)
			if *all {
				assert.Less(t, rank, 7, "%s %s", name, tr.key)
			} else {
				assert.True(t, h.Alike, "%s: %s comes %d., after %s", name, tr.key, rank+1, d.Hypotheses[0].Key)
			}
		}
	}
	t.Logf("%d of %d come back first or alike", back, asked)
	assert.GreaterOrEqual(t, asked, 5)
	assert.GreaterOrEqual(t, float64(back), 0.95*float64(asked))
}
