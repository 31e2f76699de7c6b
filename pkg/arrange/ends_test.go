package arrange

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// panel is a field of eleven strips in seven slices, more blocks than one table
// covers.
func panel(t testing.TB, turn string) *layout.File {
	t.Helper()
	return read(t, fmt.Appendf(nil, `{"tanrad":1,"units":"mm","thickness":38,
		"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8},"W":{"species":"black-walnut","ring_angle":70,"moisture":8},"C":{"species":"black-cherry","ring_angle":-35,"moisture":8}},
		"field":{"slices":{"strips":[["M",38],["W",38],["C",20],["M",38],["W",38],["C",38],["M",20],["W",38],["C",38],["M",38],["W",38]],"height":38,"count":7,"turn":%q}},
		"home":"continental-heated"}`, turn))
}

// A strip that an earlier round turned may lie beyond the next table's reach:
// with a limit on turns it must not be asked to turn back.
// And what a table foresees is not what comes of it: turns that do not help are
// taken back, or they would be made for ever.
func TestSlicedPanelsComeToAnEnd(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, c := range []struct {
		turn  string
		turns int
	}{{"end-for-end", 1}, {"none", 0}, {"both", 6}} {
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
		r, err := Improve(ctx, panel(t, c.turn), uniform(), Options{Turns: c.turns, Rounds: 2, Seed: 1})
		cancel()
		require.NoError(t, err, c)
		assert.Equal(t, EndDone, r.End, c)
		assert.LessOrEqual(t, r.After.Utilisation, r.Before.Utilisation)
		if c.turns > 0 {
			assert.LessOrEqual(t, r.Changed, c.turns)
		}
	}
}
