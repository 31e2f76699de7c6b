package risk

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sensitivity"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Effects by judging again must agree with the slopes of the limit state by the
// wood's two factors of shrinkage, which come from influences.
func TestEffectOfShrinkageIsTheSlope(t *testing.T) {
	id := weakWood(t)
	s, err := wood.Find(id)
	require.NoError(t, err)
	src := `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"` + id + `","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`
	c := &influence.Demand{Shifts: []float64{2}, NoHistories: true}
	j := judge(t, boardtest.Text(t, src), c)
	found, _, _, err := sensitivity.Inputs(context.Background(), j.m.Model, j.all, false)
	require.NoError(t, err)
	of := slices.IndexFunc(found, func(e sensitivity.Input) bool { return e.What == "shrinkage of "+strings.ToLower(s.CommonName) })
	require.GreaterOrEqual(t, of, 0, "%+v", found)
	e := found[of]
	assert.Equal(t, sensitivity.Weaker(s.ShrinkR, s.ShrinkT).Status, e.Status)
	l := j.limits(t, 1)[0]
	x, grad := make([]float64, len(j.variables())), make([]float64, len(j.variables()))
	for i, v := range j.variables() {
		x[i] = v.Mean
	}
	u := 1 - l.state(x, grad)
	at := varWoods + 2*slices.Index(j.s.species, s)
	low, high := sensitivity.Span(sensitivity.Weaker(s.ShrinkR, s.ShrinkT), variation.Of("shrinkage"))
	// Judging again scales the strain; the slope is by total shrinkage, to which
	// the strain at 8 % is more sensitive by 1/(1 − S/100·(FSP − 8)/FSP).
	by := func(v wood.Value) float64 { return 1 - v.V/100*(s.FSP()-8)/s.FSP() }
	slope := -(grad[at]*by(s.ShrinkR) + grad[at+1]*by(s.ShrinkT)) / u
	assert.InEpsilon(t, slope*(high-low)/2, e.Effect, 0.005, "the limit is rounded, the slope its tangent")
}

// weakWood is the first wood whose shrinkage nobody has seen printed.
func weakWood(t *testing.T) string {
	for _, s := range wood.All() {
		if sensitivity.Weak(s.ShrinkR.Status) && sensitivity.Weak(s.ShrinkT.Status) && s.Class == "hardwood" {
			return s.ID
		}
	}
	t.Fatal("every shrinkage has been seen in print")
	return ""
}
