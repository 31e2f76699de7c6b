package risk

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sensitivity"
	"github.com/tanrad/tanrad/pkg/internal/variation"
)

func checkerOf(a, b string) string {
	return `{"tanrad":1,"units":"mm","thickness":40,"stock":{"A":{"species":"` + a + `","ring_angle":0,"moisture":8},"B":{"species":"` + b + `","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"home":"none"}`
}

// A wood whose strength stands on a relation fails less predictably than one that was
// tested: the relation's scatter (0.22 in ln for tension of tropical hardwoods) adds to
// that between pieces.
func TestScatterOfTheRelationIsInTheChance(t *testing.T) {
	j := judge(t, boardtest.Text(t, checkerOf("wenge", "wenge")), &influence.Demand{Shifts: []float64{2}, NoHistories: true})
	for _, l := range j.limits(t, 4) {
		require.Len(t, l.own, own)
		assert.InDelta(t, math.Hypot(variation.Of("tension_perp"), 0.22), l.own[0].SD, 1e-9)
		assert.Greater(t, l.own[1].SD, variation.Of("shear_parallel"))
	}
	j = judge(t, boardtest.Text(t, checkerOf("black-walnut", "black-walnut")), &influence.Demand{Shifts: []float64{2}, NoHistories: true})
	for _, l := range j.limits(t, 4) {
		assert.InDelta(t, variation.Of("tension_perp"), l.own[0].SD, 1e-12)
	}
}

// Where published sources differ by more than 15 % in how much a wood moves, the report
// says so and by how much the answer leans on it.
func TestDisputedMovementIsAWeakInput(t *testing.T) {
	j := judge(t, boardtest.Text(t, checkerOf("iroko", "black-walnut")), &influence.Demand{Shifts: []float64{2}, NoHistories: true})
	found, _, _, err := sensitivity.Inputs(context.Background(), j.m.Model, j.all, false)
	require.NoError(t, err)
	n := 0
	for _, e := range found {
		if strings.HasPrefix(e.What, "shrinkage of iroko: published sources differ") {
			n++
			assert.Greater(t, e.Effect, 0.02)
		}
		assert.NotContains(t, e.What, "shrinkage of black walnut")
	}
	assert.Equal(t, 1, n, "%+v", found)
}
