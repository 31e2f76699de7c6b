package boardgen_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/diagnose"
	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/window"
)

// questions are what takes long of a board: each ends by itself or with its time.
var questions = map[string]func(ctx context.Context, b *layout.File, c check.Conditions, n uint64) (any, error){
	"advise": func(ctx context.Context, b *layout.File, c check.Conditions, n uint64) (any, error) {
		return advice.Moves(ctx, b, c, advice.Options{Seed: n})
	},
	"improve": func(ctx context.Context, b *layout.File, c check.Conditions, n uint64) (any, error) {
		return arrange.Improve(ctx, b, c, arrange.Options{FreeSpecies: n%3 == 0, FreePattern: n%5 == 0, Turns: int(n % 4), Seed: n})
	},
	"windows": func(ctx context.Context, b *layout.File, c check.Conditions, _ uint64) (any, error) {
		return window.Of(ctx, b, c)
	},
	"diagnose": func(ctx context.Context, b *layout.File, c check.Conditions, n uint64) (any, error) {
		o := diagnose.Observation{Season: "winter"}
		if laid, l := b.Board(); len(l) == 0 && len(laid.Joints) > 0 && n%2 == 0 {
			o.Joint = laid.Joints[n%uint64(len(laid.Joints))].ID
		}
		return diagnose.Board(ctx, b, o, diagnose.Options{Conditions: c})
	},
}

// late is how long after its time a question may still answer: what a machine
// under load needs, about ten times what a quiet one does.
const late = time.Second

// Whatever board is asked about: no panic, an answer within its time and a
// second, every figure finite.
//
// TANRAD_LONG=1 asks about a thousand generated boards, TANRAD_GENERATED=5000-5200 about
// others; the deadlines and questions rotate with the board.
func TestEveryQuestionEnds(t *testing.T) {
	from, to := uint64(0), uint64(40)
	switch {
	case boardtest.Long():
		to = 1000
	case testing.Short():
		to = 12
	}
	if others := os.Getenv("TANRAD_GENERATED"); others != "" {
		_, err := fmt.Sscanf(others, "%d-%d", &from, &to)
		require.NoError(t, err, "from-to")
	}
	all := map[string][]byte{}
	for seed := from; seed < to; seed++ {
		all[fmt.Sprintf("%04d", seed)] = boardgen.Any(seed)
	}
	for i, name := range boardtest.Names(t) {
		if testing.Short() && i%3 > 0 {
			continue
		}
		all[name] = boardtest.Source(t, name)
	}
	deadlines := []time.Duration{5 * time.Millisecond, 30 * time.Millisecond, 100 * time.Millisecond}
	n := uint64(0)
	latest := map[string]time.Duration{}
	for _, name := range slices.Sorted(maps.Keys(all)) {
		b, _, err := layout.Open(all[name], layout.Limits{})
		if err != nil {
			continue // TestAnyBoards counts these
		}
		for _, what := range slices.Sorted(maps.Keys(questions)) {
			ask := questions[what]
			n++
			deadline := deadlines[n%3]
			if n%81 == 0 {
				deadline = 3 * time.Second // time for a whole answer
			}
			c := check.Conditions{}
			if n%2 == 0 {
				c.NoHistories = true
			}
			ctx, cancel := context.WithTimeout(context.Background(), deadline)
			began := time.Now()
			got, err := ask(ctx, b, c, n)
			took := time.Since(began)
			cancel()
			latest[what] = max(latest[what], took-deadline)
			assert.Less(t, took, deadline+late, "%s of %s", what, name)
			if err != nil {
				assert.True(t, errors.Is(err, context.DeadlineExceeded), "%s of %s: %v", what, name, err)
				continue
			}
			text, err := json.Marshal(got)
			require.NoError(t, err, "%s of %s: a figure is not finite", what, name)
			finite(t, text, what+" of "+name)
		}
	}
	t.Log("latest after its time:", latest)
}

// finite looks at every number of a text of JSON: none may stand for infinity.
func finite(t *testing.T, text []byte, where string) {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(text))
	for {
		token, err := d.Token()
		if err != nil {
			return
		}
		if v, ok := token.(float64); ok && math.Abs(v) > 1e12 {
			assert.Fail(t, "a figure without measure", "%s: %g", where, v)
		}
	}
}
