package check

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

func effectOf(h Honesty, what string) (Input, bool) {
	for _, e := range h.Estimated {
		if strings.HasPrefix(e.What, what) {
			return e, true
		}
	}
	return Input{}, false
}

func TestHonestyHoldsTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, name := range []string{"checker-random", "border-mitre", "pith-in-strip", "own-months", "long-grain-planks"} {
		r := reportOf(t, boardNamed(t, name), Conditions{NoCracks: true})
		h := r.Notes
		require.NotEmpty(t, h.Estimated, name)
		assert.LessOrEqual(t, h.Low, r.Utilisation, name)
		assert.GreaterOrEqual(t, h.High, r.Utilisation, name)
		last := math.Inf(1)
		for _, e := range h.Estimated {
			assert.GreaterOrEqual(t, last, e.Effect, "%s: most influential first", name)
			assert.GreaterOrEqual(t, e.Effect, leastEffect)
			assert.True(t, weak(wood.Status(e.Status)), "%s: %s is %s", name, e.What, e.Status)
			_, known := source.Of(e.Source)
			assert.True(t, known, "%s: %s has source %q", name, e.What, e.Source)
			last = e.Effect
		}
		assert.Contains(t, h.Assumptions, scatterTaken())
		assert.Equal(t, notModelled, h.NotModelled)
	}
}

// In a state that comes with the seasons every stress is proportional to what
// relaxation leaves, so its effect is the spread of the factor over the typical one.
func TestEffectOfRelaxation(t *testing.T) {
	r := reportOf(t, boardNamed(t, "checker-random"), Conditions{Exposures: []string{NoExposures}, NoCracks: true})
	e, ok := effectOf(r.Notes, "how far stress relaxes")
	require.True(t, ok)
	left := func(v relax.Variant) float64 { return relax.Factor(relax.Season(), v) }
	assert.InDelta(t, (left(relax.High)-left(relax.Low))/2/left(relax.Typical), e.Effect, 1e-9)
	// A sudden state has no time to relax.
	r = reportOf(t, boardNamed(t, "checker-random"), Conditions{Shifts: []float64{5}, Exposures: []string{NoExposures}, NoCracks: true})
	require.Equal(t, "shift-+5", r.Worst.State)
	_, ok = effectOf(r.Notes, "how far stress relaxes")
	assert.False(t, ok)
	_, ok = effectOf(r.Notes, "climate")
	assert.False(t, ok, "a shift from the gluing moisture has no climate in it")
}

// Effects by judging again must agree with the slopes of the limit state by the
// wood's two factors of shrinkage, which come from influences.
func TestEffectOfShrinkageIsTheSlope(t *testing.T) {
	id := weakWood(t)
	s, err := wood.Find(id)
	require.NoError(t, err)
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"` + id + `","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`
	c := Conditions{Shifts: []float64{2}, Exposures: []string{NoExposures}, NoCracks: true}
	r := reportOf(t, boardOf(t, src), c)
	e, ok := effectOf(r.Notes, "shrinkage of "+strings.ToLower(s.CommonName))
	require.True(t, ok, "%+v", r.Notes.Estimated)
	assert.Equal(t, string(weaker(s.ShrinkR, s.ShrinkT).Status), e.Status)
	j := judge(t, boardOf(t, src), c)
	l := j.limits(t, 1)[0]
	x, grad := make([]float64, len(j.all())), make([]float64, len(j.all()))
	for i, v := range j.all() {
		x[i] = v.Mean
	}
	u := 1 - l.state(x, grad)
	at := varWoods + 2*slices.Index(j.s.species, s)
	low, high := span(weaker(s.ShrinkR, s.ShrinkT), variation()["shrinkage"])
	// Judging again scales the strain; the slope is by total shrinkage, to which
	// the strain at 8 % is more sensitive by 1/(1 − S/100·(FSP − 8)/FSP).
	by := func(v wood.Value) float64 { return 1 - v.V/100*(s.FSP()-8)/s.FSP() }
	slope := -(grad[at]*by(s.ShrinkR) + grad[at+1]*by(s.ShrinkT)) / u
	assert.InEpsilon(t, slope*(high-low)/2, e.Effect, 0.005, "the limit is rounded, the slope its tangent")
}

// weakWood is the first wood whose shrinkage nobody has seen printed.
func weakWood(t *testing.T) string {
	for _, s := range wood.All() {
		if weak(s.ShrinkR.Status) && weak(s.ShrinkT.Status) && s.Class == "hardwood" {
			return s.ID
		}
	}
	t.Fatal("every shrinkage has been seen in print")
	return ""
}

// Stress follows stiffness in proportion; strength acts the other way round.
func TestEffectsOfStiffnessAndStrength(t *testing.T) {
	r := reportOf(t, boardNamed(t, "checker-random"), Conditions{Exposures: []string{NoExposures}, NoCracks: true})
	e, ok := effectOf(r.Notes, "stiffness across the grain")
	require.True(t, ok)
	assert.InDelta(t, variation()["moe"], e.Effect, 1e-9)

	j := judge(t, boardNamed(t, "checker-random"), Conditions{Exposures: []string{NoExposures}})
	j.w.r.Worst = &Worst{}
	j.w.worst = j.order[0]
	g, err := j.m.weighing(j.c, j.w)
	require.NoError(t, err)
	assert.InDelta(t, j.order[0].d.u, g.u, 1e-12)
	every := func(int) bool { return true }
	both := func(f float64) float64 {
		return g.worst(func(_ int, l *load) *load {
			l = l.stronger(every, false, f, len(j.m.kinds))
			return l.stronger(every, true, f, len(j.m.kinds))
		})
	}
	assert.InDelta(t, g.u/1.25, both(1.25), 1e-12, "all strengths up by a quarter")
	assert.InDelta(t, g.u, both(1), 1e-12, "the loads of the report are not touched")
	assert.InDelta(t, 2*g.u, g.worst(func(_ int, l *load) *load { return l.moved(every, 2) }), 1e-12)
}

// Where the bond gives, its strength is doubted, and acts the other way round.
func TestEffectOfTheBond(t *testing.T) {
	j := judge(t, boardNamed(t, "checker-random"), Conditions{})
	g := &weighing{m: j.m, joints: slices.Clone(j.order[:1]), u: j.order[0].d.u}
	var got []float64
	take := func(_ string, status wood.Status, _ string, a, b float64) {
		assert.Equal(t, wood.Estimated, status)
		got = append(got, a, b)
	}
	g.joints[0].d.part = joint.WoodA
	g.bond(take)
	assert.Empty(t, got, "where the wood gives, the bond is in no doubt")
	jm := &j.m.joints[j.order[0].joint]
	keep := jm.capacity
	defer func() { jm.capacity = keep }()
	jm.capacity.Weaken(1.0 / 50)
	g.joints = []governing{{joint: j.order[0].joint, d: j.m.worst(j.order[0].joint, j.order[0].load), load: j.order[0].load}}
	require.Equal(t, joint.Bond, g.joints[0].d.part)
	u := g.joints[0].d.u
	g.bond(take)
	require.Len(t, got, 2)
	assert.InDelta(t, u/0.9, got[0], 1e-9)
	assert.InDelta(t, u/1.1, got[1], 1e-9)
}

// Averaging over the report's own length gives the report's own figure, over a
// longer one less: tractions peak at the ends of joints.
func TestAveragedOver(t *testing.T) {
	j := judge(t, boardNamed(t, "checker-random"), Conditions{})
	at := j.order[0]
	d := j.m.joints[at.joint].capacity.Length
	same := j.m.averagedOver(at, d)
	assert.InDelta(t, at.d.u, same, 1e-12)
	assert.Less(t, j.m.averagedOver(at, 2*d), same)
	assert.Greater(t, j.m.averagedOver(at, d/2), same)
	assert.InDelta(t, at.d.u, j.m.worst(at.joint, at.load).u, 1e-12, "the model is as it was")
}

// Following an exposure with the board's own finish gives the report's own figure.
func TestBareWorst(t *testing.T) {
	b := boardNamed(t, "own-months")
	b.Finish = noFinish
	j := judge(t, b, Conditions{})
	r := reportOf(t, b, Conditions{NoCracks: true})
	g, err := j.m.weighing(j.c, j.w)
	require.NoError(t, err)
	u, err := g.bareWorst(context.Background(), j.c, r.Worst.State)
	require.NoError(t, err)
	assert.InDelta(t, r.Utilisation, u, 1e-9)
	none, err := g.bareWorst(context.Background(), j.c, "driest-month")
	require.NoError(t, err)
	assert.Zero(t, none)
	_, ok := effectOf(r.Notes, "finish")
	assert.False(t, ok, "bare wood has no finish to doubt")
}

func TestHonestyOfABoardWithoutStress(t *testing.T) {
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"black-cherry","ring_angle":0}},"field":{"grid":{"block":[30,30],"rows":["AA"]}}}`
	b := boardOf(t, src)
	r := reportOf(t, b, Conditions{Exposures: []string{NoExposures}})
	assert.Empty(t, r.Notes.Estimated)
	assert.NotNil(t, r.Notes.Estimated, "an empty list, not null")
	assert.Zero(t, r.Notes.Low)
	assert.Zero(t, r.Notes.High)
	for _, a := range b.Assumed {
		assert.True(t, slices.Contains(r.Notes.Assumptions, a), a)
	}
}

// The sentence about scatter carries the published figures and ours.
func TestScatterTaken(t *testing.T) {
	for _, want := range []string{"shrinkage 15 %", "across the grain 25 %", "shear 14 %", "stiffness 22 %", "density, 10 %", "when glued 0.4 %", "ring angle 5°", "brings 1 % moisture"} {
		assert.Contains(t, scatterTaken(), want)
	}
}
