package layout_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// The words for a place are those a person counts by, from either side.
func TestPlacesInWords(t *testing.T) {
	for file, places := range map[string]map[string]string{
		"checker-long-border": {"r1c8|b1.top": "between block 8 of row 1 and the top border", "r4c4|r4c5": "row 4, between block 4 and block 5",
			"r4c3|r5c3": "column 3, between row 4 and row 5", "b1.left|b1.top": "between the left border and the top border"},
		"tiles":              {"r1c2.se|r1c3": "row 1, between the lower right part of block 2 and block 3", "r1c2.nw|r1c2.se": "row 1, between the upper left part of block 2 and the lower right part of block 2"},
		"brick-stagger":      {"r1c1|r2c1": "between block 1 of row 1 and block 1 of row 2", "r2c1|r2c2": "row 2, between block 1 and block 2"},
		"border-blocks":      {"r1c1|b1.left.1": "between block 1 of row 1 and block 1 of the left of border 1"},
		"long-grain-planks":  {"p1|p2": "between piece p1 and piece p2"},
		"build-sails":        {"r4c3.1|r4c3.2": "row 4, between layer 1 of block 3 and layer 2 of block 3", "r1c2.nw|b1.top.2": "between the upper left part of block 2 of row 1 and block 2 of the top border"},
		"slices-end-for-end": {"r3c4|r3c5": "row 3, between block 4 and block 5"},
	} {
		b := boardtest.Named(t, file)
		for id, words := range places {
			j, ok := b.Joint(id)
			require.True(t, ok, "%s: %s", file, id)
			at := slices.IndexFunc(b.Joints, func(q layout.Joint) bool { return q.ID == j.ID })
			assert.Equal(t, words, b.WhereJoint(at), "%s: %s", file, id)
		}
	}
}

// No two glue lines of a board are called alike, and no two pieces.
func TestPlacesAreToldApart(t *testing.T) {
	for _, f := range boardtest.Names(t) {
		b := boardtest.Named(t, f)
		seen := map[string]string{}
		told := func(id, words string) {
			assert.Empty(t, seen[words], "%s: %s and %s are both %q", f, id, seen[words], words)
			seen[words] = id
		}
		for i := range b.Pieces {
			told(b.Pieces[i].ID, b.WherePiece(i))
		}
		for j := range b.Joints {
			told(b.Joints[j].ID, b.WhereJoint(j))
		}
	}
}
