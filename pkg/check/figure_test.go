package check_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A figure is the report's own.
func TestFigureIsTheReports(t *testing.T) {
	files, err := filepath.Glob("../../testdata/boards/ok/*.json")
	require.NoError(t, err)
	for i, f := range files {
		if i%9 > 0 && !boardtest.Long() {
			continue
		}
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		b, err := layout.Read(src)
		require.NoError(t, err)
		for _, c := range []check.Conditions{{NoCracks: true, NoChance: true}, {NoCracks: true, NoChance: true, NoHistories: true, Shifts: []float64{-3}}} {
			r, err := check.Board(context.Background(), b, c)
			require.NoError(t, err)
			got, err := check.FigureOf(context.Background(), b, c)
			require.NoError(t, err)
			assert.Equal(t, r.Figure(), got, f)
			assert.Equal(t, r.Utilisation, got.Utilisation, f)
			if len(r.Exposures) > 0 {
				assert.Less(t, len(got.LookedAt), len(r.States)+len(r.Exposures), "%s: mishaps are told beside", f)
			}
		}
	}
}
