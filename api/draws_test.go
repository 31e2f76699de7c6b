package api

import (
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// drawnSweep draws boards of one board: moistures as a meter reads them, rings as they come.
const drawnSweep = `{"kind":"sweep","parameters":{"exposures":["none"],"by":"stress"},"fields":["verdict","utilisation"],"board":` + goodBoard + `,
	"axes":[{"draws":4,"seed":7,"scatter":[{"at":["/stock/M/moisture"],"mean":8,"sd":0.7},{"at":["/stock/M/ring_angle"],"from":-90,"to":90}]}]}`

// Draws are what they say: normal, even, each scatter by itself, and the same again from
// the same seed, however many there are.
func TestDrawsFollowTheirLaw(t *testing.T) {
	mean, sd, from, to := 8.0, 0.7, -90.0, 90.0
	a := axis{Draws: 4000, Seed: 3, Scatter: []scatter{{At: []string{"/a"}, Mean: &mean, SD: &sd}, {At: []string{"/b"}, From: &from, To: &to}}}
	var n, nn, e, ee, both float64
	rings := map[uint64]bool{}
	for d := range a.Draws {
		v, seed := a.drawn(d)
		x, err := v[0].Float64()
		require.NoError(t, err)
		y, err := v[1].Float64()
		require.NoError(t, err)
		require.LessOrEqual(t, math.Abs(x-mean), mostDeviations*sd+1e-5)
		require.LessOrEqual(t, math.Abs(y), to)
		x, y = (x-mean)/sd, y/to
		n, nn, e, ee, both = n+x, nn+x*x, e+y, ee+y*y, both+x*y
		rings[seed] = true
	}
	k := float64(a.Draws) // four standard errors of each
	assert.InDelta(t, 0, n/k, 4/math.Sqrt(k))
	assert.InDelta(t, 0.9733, nn/k, 4*math.Sqrt(2/k), "variance of a normal law cut off at 3")
	assert.InDelta(t, 0, e/k, 4*math.Sqrt(1./3/k))
	assert.InDelta(t, 1./3, ee/k, 4*math.Sqrt(4./45/k))
	assert.InDelta(t, 0, both/k, 4*math.Sqrt(1./3/k), "one does not hang on the other")
	assert.Len(t, rings, a.Draws)
	first, _ := a.drawn(17)
	fewer := a
	fewer.Draws = 18
	again, _ := fewer.drawn(17)
	assert.Equal(t, first, again)
	fewer.Seed = 4
	other, _ := fewer.drawn(17)
	assert.NotEqual(t, first, other)
}

// A board of a draw is a board like others: its answer is that of its route. Rings that
// nobody has looked at are drawn with it.
func TestADrawIsABoard(t *testing.T) {
	b := broker(t)
	h := newHarness(t, Config{Jobs: b})
	workOn(t, b)
	body := strings.Replace(drawnSweep, `"ring_angle": 0`, `"ring_angle": "unknown"`, 1)
	require.NotEqual(t, drawnSweep, body)
	body = strings.Replace(body, `,{"at":["/stock/M/ring_angle"],"from":-90,"to":90}`, "", 1)
	spec, err := readJob([]byte(body))
	require.NoError(t, err)
	j := submitted(t, h, body, nil)
	require.Equal(t, 4, j.Units)
	require.Eventually(t, func() bool {
		return strings.Contains(h.good(request{path: "/v1/jobs/" + j.ID}).Body.String(), `"state":"done"`)
	}, 60*time.Second, 20*time.Millisecond)
	seen := map[string]bool{}
	for unit := range j.Units {
		board, _, err := spec.variant(unit)
		require.NoError(t, err)
		got := h.good(request{path: "/v1/jobs/" + j.ID + "/results/" + itoa(unit)}).Body.String()
		want := h.good(request{path: "/v1/board?exposures=none&by=stress&fields=verdict&fields=utilisation", body: string(board)})
		require.Equal(t, http.StatusOK, want.Code, short(want))
		assert.JSONEq(t, want.Body.String(), got)
		seen[got] = true
	}
	assert.Len(t, seen, j.Units, "every draw is another board")
}

func TestDrawsThatCannotBe(t *testing.T) {
	for name, c := range map[string]struct{ from, to, pointer string }{
		"nothing is drawn":  {`,"scatter":[`, `,"scater":[`, "/axes/0/scater"},
		"no scatter":        {drawnSweep[strings.Index(drawnSweep, `,"scatter"`):strings.LastIndex(drawnSweep, "}]}")], "", "/axes/0/scatter"},
		"too many":          {`"draws":4`, `"draws":10001`, "/axes/0/draws"},
		"fewer than none":   {`"draws":4`, `"draws":-4`, "/axes/0/draws"},
		"how many":          {`"draws":4,`, ``, "/axes/0/draws"},
		"values beside":     {`"draws":4`, `"draws":4,"values":[1]`, "/axes/0"},
		"half a law":        {`"mean":8,`, ``, "/axes/0/scatter/0"},
		"two laws":          {`"mean":8,`, `"mean":8,"from":1,"to":2,`, "/axes/0/scatter/0"},
		"a negative spread": {`0.7`, `-0.7`, "/axes/0/scatter/0/sd"},
		"bounds turned":     {`"to":90`, `"to":-91`, "/axes/0/scatter/1/to"},
		"no place":          {`/stock/M/moisture`, `stock`, "/axes/0/scatter/0/at/0"},
		"no such place":     {`/stock/M/moisture`, `/stock/Q/moisture`, "/axes/0/scatter/0"},
		"a faulty board":    {`"mean":8`, `"mean":900`, "/axes/0/scatter/0"},
		"with another axis": {`"axes":[`, `"axes":[{"at":["/thickness"],"values":[` + strings.TrimSuffix(strings.Repeat("30,", 1000), ",") + `]},{"at":["/thickness"],"values":[1,2,3]},`, "/axes"},
	} {
		body := strings.Replace(drawnSweep, c.from, c.to, 1)
		require.NotEqual(t, drawnSweep, body, name)
		_, err := readJob([]byte(body))
		l := fault.Of(err)
		require.Len(t, l, 1, "%s: %v", name, err)
		assert.Equal(t, c.pointer, l[0].Pointer, name)
	}
}
