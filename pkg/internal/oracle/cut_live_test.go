//go:build ccx

package oracle

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Boards are cut open and solved again and must set the same free: one cut of each, or
// every cut with TANRAD_LONG=1.
func TestLiveCutsComeOutAgain(t *testing.T) {
	decks, seams, err := Cuts()
	require.NoError(t, err)
	for i, d := range decks {
		t.Run(d.Name, func(t *testing.T) {
			cuts := seams[i]
			if !*update && !boardtest.Long() {
				cuts = cuts[:1]
			}
			r, err := MakeCuts(d, cuts)
			require.NoError(t, err)
			if *update {
				b, err := json.MarshalIndent(r, "", " ")
				require.NoError(t, err)
				require.NoError(t, os.MkdirAll(cutRecords, 0o755))
				require.NoError(t, os.WriteFile(filepath.Join(cutRecords, d.Name+".json"), append(b, '\n'), 0o644))
				return
			}
			old := readCuts(t, d.Name)
			for k, c := range r.Cuts {
				assert.InEpsilon(t, old.Cuts[k].Energy, c.Energy, 1e-3, "y %g from %g to %g", c.Y, c.From, c.To)
			}
		})
	}
}
