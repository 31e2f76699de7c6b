package arrange

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
)

// Five blocks of six lie with the rings one way, the sixth the other way. To
// turn the one is as good as to turn the five.
func TestFewBlocksAreTurnedRatherThanMany(t *testing.T) {
	b := read(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"white-oak","ring_angle":0,"moisture":8},"B":{"species":"white-oak","ring_angle":90,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["AAA","ABA"]}}}`))
	s, err := newSpace(t.Context(), b, uniform(), Options{})
	require.NoError(t, err)
	a := s.start()
	for i := range a {
		if s.board.Pieces[i].Stock == "A" {
			a[i] = s.of[i][1]
		}
	}
	require.Equal(t, 5, s.changed(a))
	few := s.turnedAll(a, position{turn: 90})
	assert.Equal(t, 1, s.changed(few))
	r, err := Improve(context.Background(), b, check.Conditions{}, Options{Seed: 1, Rounds: 2})
	require.NoError(t, err)
	assert.Less(t, r.After.Utilisation, 1e-6, "all rings alike: no stress")
	assert.Equal(t, 1, r.Changed)
}

func TestTurningAllKeepsWhatCannotBeTurned(t *testing.T) {
	for _, name := range []string{"pith-in-strip.json", "long-grain-planks.json", "slices-over.json", "tiles.json"} {
		s, err := newSpace(t.Context(), file(t, name), uniform(), Options{})
		require.NoError(t, err)
		for _, g := range wholes {
			a := s.turnedAll(s.start(), g)
			for p, id := range a {
				assert.Contains(t, s.of[p], id, "%s", name)
			}
		}
	}
}
