//go:build ccx

package oracle

import (
	"flag"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

var update = flag.Bool("update", false, "solve every board anew and refresh testdata/oracle")

// slow are the records that ccx needs longest for; they come out again with
// TANRAD_LONG=1.
var slow = []string{"cup-border", "cup-patch", "cup-random-thick", "cup-random-thin", "tilted-frame", "two-stage"}

// Every recorded answer is solved again by ccx and must come out the same.
func TestLiveRecordsComeOutAgain(t *testing.T) {
	decks, err := Boards()
	require.NoError(t, err)
	for _, d := range decks {
		if !*update && !boardtest.Long() && slices.Contains(slow, d.Name) {
			continue
		}
		t.Run(d.Name, func(t *testing.T) {
			if *update {
				r, err := Make(d)
				require.NoError(t, err)
				require.NoError(t, r.Write(records))
				t.Logf("%d elements, doubt %.1e", r.Answer.Elements, r.Doubt)
				return
			}
			r, err := ReadRecord(records, d.Name)
			require.NoError(t, err)
			a, err := Solve(d)
			require.NoError(t, err)
			// another version of ccx or of its equation solver rounds otherwise; the
			// record itself is in doubt by more than this
			moved := math.Max(r.Answer.Moved(), 1e-6)
			require.Len(t, a.Places, len(r.Answer.Places))
			for i, p := range a.Places {
				for c := range 3 {
					assert.InDelta(t, r.Answer.Places[i].U[c], p.U[c], 1e-5*moved, "displacement [mm] at %v", p.At)
				}
			}
			largest := math.Max(r.LargestTraction, 1e-3)
			require.Len(t, a.Joints, len(r.Answer.Joints))
			for i, j := range a.Joints {
				want := r.Answer.Joints[i].all()
				for k, v := range j.all() {
					assert.InDelta(t, want[k], v, 1e-4*largest, "traction [MPa] of %v", j.Pieces)
				}
			}
		})
	}
}
