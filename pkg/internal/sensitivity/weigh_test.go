package sensitivity

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// following is a board judged, its joints the worst first.
type following struct {
	m     *influence.Model
	all   *influence.Judged
	order []influence.Moment
}

func followed(t *testing.T, b *layout.Board, d *influence.Demand) *following {
	t.Helper()
	m, err := influence.Prepare(context.Background(), b, influence.Options{Bending: !d.NoHistories})
	require.NoError(t, err)
	all, err := m.Judge(context.Background(), d, nil)
	require.NoError(t, err)
	order := slices.Clone(all.Joints)
	slices.SortStableFunc(order, func(a, b influence.Moment) int { return cmp.Compare(b.D.U, a.D.U) })
	return &following{m, all, order}
}

// Stress follows stiffness in proportion; strength acts the other way round.
func TestEffectsOfStiffnessAndStrength(t *testing.T) {
	j := followed(t, boardtest.Named(t, "checker-random"), &influence.Demand{NoHistories: true})
	found, _, _, err := Inputs(context.Background(), j.m, j.all, false)
	require.NoError(t, err)
	at := slices.IndexFunc(found, func(e Input) bool { return strings.HasPrefix(e.What, "stiffness across the grain") })
	require.GreaterOrEqual(t, at, 0)
	assert.InDelta(t, variation.Of("moe"), found[at].Effect, 1e-9)
	j.all.Worst = j.order[0]
	g := newWeighing(j.m, j.all, false, t.Context().Err)
	assert.GreaterOrEqual(t, g.u, j.order[0].D.U, "by stress, which the load over the critical one cannot pass")
	every := func(int) bool { return true }
	both := func(f float64) float64 {
		return g.worst(func(_ int, l *influence.Load) *influence.Load {
			l = stronger(l, every, false, f, len(j.m.Kinds))
			return stronger(l, every, true, f, len(j.m.Kinds))
		})
	}
	assert.InDelta(t, g.u/1.25, both(1.25), 1e-12, "all strengths up by a quarter")
	assert.InDelta(t, g.u, both(1), 1e-12, "the loads of the report are not touched")
	assert.InDelta(t, 2*g.u, g.worst(func(_ int, l *influence.Load) *influence.Load { return l.Scaled(every, 2) }), 1e-12)
}

// Where the bond gives, its strength is doubted, and acts the other way round.
func TestEffectOfTheBond(t *testing.T) {
	j := followed(t, boardtest.Named(t, "checker-random"), &influence.Demand{})
	g := &weighing{m: j.m, joints: slices.Clone(j.order[:1]), u: j.order[0].D.U}
	var got []float64
	take := func(_ string, status wood.Status, _ string, a, b float64) {
		assert.Equal(t, wood.Estimated, status)
		got = append(got, a, b)
	}
	g.joints[0].D.Part = joint.WoodA
	g.bond(take)
	assert.Empty(t, got, "where the wood gives, the bond is in no doubt")
	jm := &j.m.Joints[j.order[0].Joint]
	keep := jm.Capacity
	defer func() { jm.Capacity = keep }()
	jm.Capacity.Weaken(1.0 / 50)
	g.joints = []influence.Moment{{Joint: j.order[0].Joint, D: j.m.Worst(j.order[0].Joint, j.order[0].Load), Load: j.order[0].Load}}
	require.Equal(t, joint.Bond, g.joints[0].D.Part)
	u := g.joints[0].D.U
	g.bond(take)
	require.Len(t, got, 2)
	assert.InDelta(t, u/0.9, got[0], 1e-9)
	assert.InDelta(t, u/1.1, got[1], 1e-9)
}

// Averaging over the report's own length gives the report's own figure, over a
// longer one less: tractions peak at the ends of joints.
func TestAveragedOver(t *testing.T) {
	j := followed(t, boardtest.Named(t, "checker-random"), &influence.Demand{})
	at := j.order[0]
	d := j.m.Joints[at.Joint].Capacity.Length
	over := func(mm float64) float64 { return j.m.AveragedOver(at.Joint, at.Load, mm).U }
	same := over(d)
	assert.InDelta(t, at.D.Stress, same, 1e-12)
	assert.Less(t, over(2*d), same)
	assert.Greater(t, over(d/2), same)
	assert.InDelta(t, at.D.Stress, j.m.Worst(at.Joint, at.Load).U, 1e-12, "the model is as it was")
}

// Following an exposure with the board's own finish gives the report's own figure.
func TestBareWorst(t *testing.T) {
	b := boardtest.Named(t, "own-months")
	b.Finish = noFinish
	j := followed(t, b, &influence.Demand{})
	g := newWeighing(j.m, j.all, false, t.Context().Err)
	u, err := g.bareWorst(context.Background())
	require.NoError(t, err)
	assert.GreaterOrEqual(t, u, j.all.Worst.D.U, "by stress, which the load over the critical one cannot pass")
	j.all.History = -1
	none, err := g.bareWorst(context.Background())
	require.NoError(t, err)
	assert.Zero(t, none)
	found, _, _, err := Inputs(context.Background(), j.m, j.all, false)
	require.NoError(t, err)
	for _, e := range found {
		assert.NotContains(t, e.What, "finish", "bare wood has no finish to doubt")
	}
}
