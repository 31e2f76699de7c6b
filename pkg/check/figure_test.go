package check_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// A figure is the report's own.
func TestFigureIsTheReports(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for i, name := range boardtest.Names(t) {
		b := boardtest.Named(t, name)
		if (i%5 > 0 || len(b.Pieces) > 16) && !boardtest.Long() {
			continue
		}
		for _, c := range []check.Conditions{{NoCracks: true, NoChance: true}, {NoCracks: true, NoChance: true, NoHistories: true, Shifts: []float64{-3}}} {
			r, err := check.Board(context.Background(), b, c)
			require.NoError(t, err)
			got, err := check.FigureOf(context.Background(), b, c)
			require.NoError(t, err)
			assert.Equal(t, r.Figure(), got, name)
			assert.Equal(t, r.Utilisation, got.Utilisation, name)
			if len(r.Exposures) > 0 {
				assert.Less(t, len(got.LookedAt), len(r.States)+len(r.Exposures), "%s: mishaps are told beside", name)
			}
		}
	}
}
