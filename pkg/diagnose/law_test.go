package diagnose

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// A hypothesis that is a plain exposure has the figures that a check of the board
// in its own home gives that exposure.
func TestAPlainExposureIsTheChecks(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	names := []string{bare, "own-months"}
	if boardtest.Long() {
		names = append(names, "hexagons", "long-grain-planks", "checker-random", "inch-board", "border-two-stage", "tiles", "slices-over", "brick-stagger", "pith-in-strip", "rhombs")
	}
	compared := 0
	for _, name := range names {
		b := board(t, name)
		home, err := climate(b, "")
		require.NoError(t, err, name)
		driest, _, _, _ := home.Extremes()
		scenes := eventScenes(b, home, driest+1)
		r, err := newRunner(context.Background(), b, check.Conditions{}, true)
		require.NoError(t, err, name)
		whole, err := check.Prepare(context.Background(), b, check.Conditions{})
		require.NoError(t, err, name)
		for i := range scenes {
			s := &scenes[i]
			got, err := r.report(context.Background(), s)
			require.NoError(t, err, "%s %s", name, s.key)
			want, err := whole.Report(context.Background(), check.Conditions{Events: []moisture.Event{*s.event}, NoCracks: true, NoChance: true, NoCauses: true})
			require.NoError(t, err, "%s %s", name, s.key)
			require.Len(t, got.Exposures, 1)
			if shopWork[s.event.Name] {
				continue // the shop's air, not the home's
			}
			compared++
			assert.InEpsilon(t, 1+want.Exposures[0].Utilisation, 1+got.Exposures[0].Utilisation, 1e-6, "%s %s: what it bears", name, s.key)
			assert.InEpsilon(t, 1+want.Exposures[0].Checking.Utilisation, 1+got.Exposures[0].Checking.Utilisation, 1e-6, "%s %s: checks of its faces", name, s.key)
		}
	}
	assert.Greater(t, compared, 5*len(names))
}
