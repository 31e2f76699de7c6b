package influence

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// A slab with its pith has no more courses than a board of blocks has: their number had
// grown with the square of its side and the work on each with the square again, and 1.5 m
// took for ever.
func TestLargePiecesHaveFewCourses(t *testing.T) {
	for _, c := range []struct {
		ring string
		most int
	}{{`"pith":[-749,-749]`, 3 * mostGrid * mostGrid}, {`"ring_angle":30`, 3 * (mostCourses + 2)}} {
		b, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"sugar-maple","moisture":8,` + c.ring + `}},"field":{"grid":{"block":[1500,1500],"rows":["A"]}}}`))
		require.NoError(t, err)
		m, err := Prepare(t.Context(), b, Options{})
		require.NoError(t, err)
		starts := m.starts(0, m.middle())
		assert.NotEmpty(t, starts)
		assert.LessOrEqual(t, len(starts), c.most, c.ring)
		s := m.newSurveyor()
		l := m.swings()[0]
		list, _ := s.follow(&place{WoodDemand: starts[len(starts)/2].WoodDemand, piece: 0, load: l}, m.stressUnder(l))
		assert.LessOrEqual(t, len(list), 2*mostSamples, "a diagonal is no longer than two sides")
		ctx, cancel := context.WithCancel(t.Context())
		looks := &looking{Context: ctx, after: 3, then: cancel}
		_, _, err = m.courses(looks, s, l, []place{{WoodDemand: WoodDemand{U: 1}, piece: 0}})
		assert.ErrorIs(t, err, context.Canceled, "it looks at every course")
		cancel()
	}
}

// looking ends itself after so many looks.
type looking struct {
	context.Context
	after int
	then  func()
}

func (l *looking) Err() error {
	if l.after--; l.after == 0 {
		l.then()
	}
	return l.Context.Err()
}
