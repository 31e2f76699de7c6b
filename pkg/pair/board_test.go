package pair_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/pair"
)

// TestAgainstTheWholeBoard solves the pair as a board of two strips 400 mm long
// with finite elements and compares. The board is free to bow, so its end shear
// lies between that of a pair held straight, which the closed form tells, and
// half of it, which like strips that bow have (β doubles, P falls to a quarter).
// The stress along the joint is compared where the closed form is good, as the
// part of the wood's strength; peel only by its sign and size, being an estimate.
func TestAgainstTheWholeBoard(t *testing.T) {
	for _, c := range []struct{ ringA, ringB, widthB, change float64 }{
		{90, 90, 40, 3}, {0, 90, 40, 3}, {37, -64, 40, 3}, {37, -64, 25, -3},
	} {
		name := fmt.Sprintf("%+v", c)
		src := fmt.Sprintf(`{"tanrad": 1, "units": "mm", "thickness": 40, "home": "none", "finish": "none", "stock": {
			"A": {"species": "sugar-maple", "ring_angle": %g, "moisture": 7.5}, "B": {"species": "black-walnut", "ring_angle": %g, "moisture": 7.5}},
			"field": {"pieces": [{"stock": "A", "outline": [[0, %[3]g], [400, %[3]g], [400, %[4]g], [0, %[4]g]]},
			                     {"stock": "B", "outline": [[0, 0], [400, 0], [400, %[3]g], [0, %[3]g]]}]}}`,
			c.ringA, c.ringB, c.widthB, c.widthB+40)
		b, err := layout.Read([]byte(src))
		require.NoError(t, err, name)
		board, err := check.Board(t.Context(), b, check.Conditions{Shifts: []float64{c.change}, Exposures: []string{"none"}})
		require.NoError(t, err, name)
		joint := board.Joints[0]

		q := blocks("sugar-maple", c.ringA, "black-walnut", c.ringB, 7.5, 7.5+c.change)
		q.B.Width, q.Length = c.widthB, 400
		two := ask(t, q)
		shear := two.Ends.Shear / math.Abs(joint.Shear)
		assert.InDelta(t, 1.5, shear, 0.5, "%s: between the shear of the free and of the straight pair", name)
		assert.InDelta(t, joint.Normal, two.Ends.Peel, 0.25, "%s: MPa, peel", name)
		assert.GreaterOrEqual(t, two.Utilisation, joint.Utilisation, "%s: the closed form is the cautious one", name)
		for _, one := range two.Checks {
			piece := map[string]int{pair.SplitA: 0, pair.SplitB: 1}
			if i, splits := piece[one.ID]; splits {
				assert.InDelta(t, board.Pieces[i].Utilisation, one.Utilisation, 0.03, "%s: %s", name, one.ID)
			}
		}
	}
}

// TestSameWordsAsABoard: one verdict scale for both.
func TestSameWordsAsABoard(t *testing.T) {
	for u := 0.0; u < 1.3; u += 0.01 {
		assert.Equal(t, string(check.VerdictOf(u)), string(pair.VerdictOf(u)))
	}
}
