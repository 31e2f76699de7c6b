package fracture

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// v and its slopes are of degree one and nought in the load, v never passes the
// bound from stress alone, and slopes are those of differences.
func TestJudgeIsOfDegreeOneWithItsSlopes(t *testing.T) {
	r := newRandom(3)
	governs := map[Governs]int{}
	for range 60 {
		l, st := randomState(r)
		got, ok, err := l.Judge(t.Context(), st, 0)
		require.NoError(t, err)
		require.True(t, ok)
		governs[got.Governs]++
		assert.LessOrEqual(t, got.V, l.Bound(st)*(1+1e-12))
		scaled := func(f float64) *State {
			c := *st
			c.Membrane, c.Bending = append([]float64{}, st.Membrane...), append([]float64{}, st.Bending...)
			for i := range c.Membrane {
				c.Membrane[i] *= f
			}
			for i := range c.Bending {
				c.Bending[i] *= f
			}
			return &c
		}
		twice, _, err := l.Judge(t.Context(), scaled(2), 0)
		require.NoError(t, err)
		assert.InEpsilon(t, 2*got.V, twice.V, 1e-9)
		assert.Equal(t, got.Governs, twice.Governs)
		sum := 0.0
		for i, a := range st.Membrane {
			sum += a * got.ByMembrane[i]
		}
		for i, a := range st.Bending {
			sum += a * got.ByBending[i]
		}
		assert.InEpsilon(t, got.V, sum, 1e-3, "the slopes give v itself (%s)", got.Governs)
		const step = 1e-6
		for i := range st.Membrane {
			c := scaled(1)
			c.Membrane[i] += step
			up, _, err := l.Judge(t.Context(), c, 0)
			require.NoError(t, err)
			c.Membrane[i] -= 2 * step
			down, _, err := l.Judge(t.Context(), c, 0)
			require.NoError(t, err)
			assert.InDelta(t, (up.V-down.V)/(2*step), got.ByMembrane[i], 2e-3*(1+got.V), "case %d (%s)", i, got.Governs)
		}
		for i := range st.Bending {
			c := scaled(1)
			c.Bending[i] += step
			up, _, err := l.Judge(t.Context(), c, 0)
			require.NoError(t, err)
			c.Bending[i] -= 2 * step
			down, _, err := l.Judge(t.Context(), c, 0)
			require.NoError(t, err)
			assert.InDelta(t, (up.V-down.V)/(2*step), got.ByBending[i], 2e-2*(1+got.V), "bending %d (%s)", i, got.Governs)
		}
		above, ok, err := l.Judge(t.Context(), st, got.V)
		require.NoError(t, err)
		assert.False(t, ok, "nothing lies above the best: %v", above.V)
	}
	assert.Greater(t, governs[Strength], 0)
	assert.Greater(t, governs[Energy], 0)
	assert.Greater(t, governs[Both], 0)
	t.Log(governs)
}

// A stronger line, or one of which any joint is tougher, never has a higher v. (One
// joint alone made stronger can have: pressed, it relieves the mean of the others less.)
func TestStrongerOrTougherIsNeverWorse(t *testing.T) {
	r := newRandom(5)
	for range 60 {
		l, st := randomState(r)
		was, _, err := l.Judge(t.Context(), st, 0)
		require.NoError(t, err)
		if j := r.IntN(len(l.Tough)); r.IntN(2) == 0 {
			for v := range st.Criteria {
				for k := range l.Tough {
					for p := range Parts {
						st.Criteria[v][k][p] = st.Criteria[v][k][p].Scaled(1.3, 1.3)
					}
				}
			}
		} else {
			l.Tough[j].Open *= 1.5
			l.Tough[j].Slide *= 1.5
			l.starts = nil
		}
		now, _, err := l.Judge(t.Context(), st, 0)
		require.NoError(t, err)
		assert.LessOrEqual(t, now.V, was.V*(1+1e-9))
	}
}
