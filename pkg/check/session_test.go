package check

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

const drawn = `{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"sugar-maple","ring_angle":20,"moisture":8},"B":{"species":"black-walnut","ring_angle":70,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"borders":[{"stock":"B","grain":"along","width":25,"sides":["left"]}],"home":"continental-heated","finish":"none","exposures":[{"name":"wash-one-face","minutes":5}]}`

// steps are what somebody does to a drawing, and whether all that was solved holds for
// what comes out.
var steps = []struct {
	name, from, to string
	holds          bool
}{
	{"nothing", "", "", true},
	{"home", `"continental-heated"`, `"maritime-temperate"`, true},
	{"finish", `"finish":"none"`, `"finish":"mineral-oil-wax"`, true},
	{"exposure", `"minutes":5`, `"minutes":9`, true},
	{"name", `"units"`, `"name":"Walled Harbour","units"`, true},
	{"wood", "sugar-maple", "white-oak", false},
	{"moisture at gluing", `"ring_angle":20,"moisture":8`, `"ring_angle":20,"moisture":10`, false},
	{"turn", `"ring_angle":20`, `"ring_angle":-20`, false},
	{"border", `"width":25`, `"width":30`, false},
	{"glue", `"finish"`, `"glue":"epoxy","finish"`, false},
	{"thickness", `"thickness":30`, `"thickness":31`, false},
}

func told(t *testing.T, r *Report) string {
	text, err := json.Marshal(r)
	require.NoError(t, err)
	return string(text)
}

// A session answers every step as a check of its own would, also on what other boards left
// in the cache, and solves again only where the step asks for it.
func TestASessionAnswersAsAnewCheckDoes(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	s, cache := NewSession(1<<30), NewCache(256<<20)
	root := map[bool]*Prepared{} // with exposures, without
	for _, none := range []bool{true, false} {
		_, err := s.Board(t.Context(), boardtest.Text(t, drawn), Conditions{NoChance: true, NoHistories: none, Cache: cache})
		require.NoError(t, err)
		root[none] = s.held[0].p
	}
	for _, step := range steps {
		c := Conditions{NoChance: true, NoHistories: step.name != "exposure" && step.name != "finish"}
		b := boardtest.Text(t, strings.Replace(drawn, step.from, step.to, 1))
		alone := c
		c.Cache = cache
		p, err := s.Prepare(t.Context(), b, c)
		require.NoError(t, err)
		assert.Equal(t, step.holds, p.from == root[c.NoHistories], step.name)
		got, err := s.Board(t.Context(), b, c)
		require.NoError(t, err, step.name)
		want, err := Board(t.Context(), b, alone)
		require.NoError(t, err, step.name)
		alike(t, told(t, want), told(t, got), step.name)
	}
}

// alike holds two reports to the same words, and to figures that differ by round-off: parts
// of a factor that another board left were made of elements alike to a millionth of a mm.
func alike(t *testing.T, want, got, what string) {
	t.Helper()
	const roundOff = 1e-9
	var a, b any
	require.NoError(t, json.Unmarshal([]byte(want), &a))
	require.NoError(t, json.Unmarshal([]byte(got), &b))
	var walk func(a, b any, at string)
	walk = func(a, b any, at string) {
		switch x := a.(type) {
		case map[string]any:
			y, _ := b.(map[string]any)
			require.Len(t, y, len(x), at)
			for k := range x {
				walk(x[k], y[k], at+"/"+k)
			}
		case []any:
			y, _ := b.([]any)
			require.Len(t, y, len(x), at)
			for k := range x {
				walk(x[k], y[k], fmt.Sprintf("%s/%d", at, k))
			}
		case float64:
			y, ok := b.(float64)
			require.True(t, ok && math.Abs(x-y) <= roundOff*max(1, math.Abs(x)), "%s: %v is not %v", at, b, x)
		default:
			require.Equal(t, a, b, at)
		}
	}
	walk(a, b, what)
}

// What a session holds stays within its bytes, and is told truly to a factor of two.
func TestASessionIsBounded(t *testing.T) {
	c := Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true}
	s := NewSession(1)
	_, err := s.Board(t.Context(), boardtest.Text(t, drawn), c)
	require.NoError(t, err)
	assert.Zero(t, s.Bytes(), "nothing fits")
	s.most = 1 << 40
	for _, step := range steps {
		_, err := s.Board(t.Context(), boardtest.Text(t, strings.Replace(drawn, step.from, step.to, 1)), c)
		require.NoError(t, err)
	}
	all := s.Bytes()
	n := len(s.held)
	assert.Equal(t, 7, n)
	s.most = all / 2
	_, err = s.Board(t.Context(), boardtest.Text(t, drawn), c)
	require.NoError(t, err)
	assert.Less(t, len(s.held), n)
	assert.LessOrEqual(t, s.Bytes(), all/2)
	assert.Positive(t, s.Bytes())
}

// Several may edit at once, some its moisture and some how a wood is turned.
func TestASessionOfSeveral(t *testing.T) {
	c := Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true, Cache: NewCache(64 << 20)}
	s := NewSession(1 << 30)
	one := strings.Replace(drawn, `,"borders":[{"stock":"B","grain":"along","width":25,"sides":["left"]}]`, "", 1)
	want, err := s.Board(t.Context(), boardtest.Text(t, one), c)
	require.NoError(t, err)
	turned := func(i int) *layout.Board {
		return boardtest.Text(t, strings.Replace(one, `"ring_angle":20`, fmt.Sprintf(`"ring_angle":%d`, 30+20*i), 1))
	}
	var alone [3]*Report
	for i := range alone {
		var err error
		alone[i], err = Board(t.Context(), turned(i), Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true})
		require.NoError(t, err)
	}
	var group sync.WaitGroup
	for k := range 2 {
		group.Go(func() {
			for i := range alone {
				i = (i + k) % len(alone)
				r, err := s.Board(t.Context(), turned(i), c)
				if assert.NoError(t, err) {
					assert.InDelta(t, alone[i].Utilisation, r.Utilisation, 1e-9)
					assert.Equal(t, alone[i].Headline, r.Headline)
				}
			}
		})
	}
	for k := range 4 {
		group.Go(func() {
			for i := range 3 {
				d := c
				d.Moistures = []float64{float64(6 + k + i)}
				r, err := s.Board(t.Context(), boardtest.Text(t, one), d)
				if assert.NoError(t, err) {
					assert.Equal(t, want.States[0], r.States[0])
				}
			}
		})
	}
	group.Wait()
}

// What is derived of a board comes from what was judged when it was asked about before,
// and is what a check of its own derives; another demand is judged anew.
func TestASessionDerivesFromWhatItJudged(t *testing.T) {
	s, b, c := NewSession(1<<30), boardtest.Text(t, drawn), Conditions{NoHistories: true, NoChance: true, NoCracks: true}
	_, err := s.Board(t.Context(), b, c)
	require.NoError(t, err)
	before := s.last[1]
	c.Explain = "r1c1"
	got, err := s.Board(t.Context(), boardtest.Text(t, drawn), c)
	require.NoError(t, err)
	assert.Same(t, before, s.last[1])
	want, err := Board(t.Context(), b, c)
	require.NoError(t, err)
	assert.Equal(t, told(t, want), told(t, got))
	c.Moistures = []float64{12}
	_, err = s.Board(t.Context(), b, c)
	require.NoError(t, err)
	assert.NotSame(t, before, s.last[1])
}
