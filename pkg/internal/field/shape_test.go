package field

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// TestShapeOfOneWoodIsItsFreeSize: nothing holds like wood back, so the glued
// outline and the free strain tell the same movement, and no joint is stressed.
func TestShapeOfOneWoodIsItsFreeSize(t *testing.T) {
	d := &influence.Demand{Shifts: []float64{3}}
	m := prepared(t, oneWood, d)
	s, err := m.Shape(t.Context(), d, "shift-+3", 0)
	require.NoError(t, err)
	require.Len(t, s.Pieces, 4)
	require.Len(t, s.Joints, 4)
	for _, p := range s.Pieces {
		for k := range p.From {
			for a, e := range [2]float64{p.Free.XX, p.Free.YY} {
				// 1e-9 mm: round-off of a solve with movements of 0.1 mm.
				assert.InDelta(t, e*(p.From[k][a]-p.From[0][a]), p.To[k][a]-p.From[k][a]-(p.To[0][a]-p.From[0][a]), 1e-9)
			}
		}
		assert.Greater(t, p.Free.XX, 0.0, "wetter wood swells")
	}
	for _, j := range s.Joints {
		assert.Less(t, j.Utilisation, influence.Quiet, j.ID)
	}
}

// TestShapeOfTwoWoodsIsHeldBack: along the joint of two strips the glued pieces
// end between their free sizes, and the joint says what the check of the same
// state alone says.
func TestShapeOfTwoWoodsIsHeldBack(t *testing.T) {
	d := &influence.Demand{Shifts: []float64{3}, NoHistories: true}
	m := prepared(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},
"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},"field":{"grid":{"block":[120,30],"rows":["M","W"]}}}`, d)
	s, err := m.Shape(t.Context(), d, "shift-+3", 0)
	require.NoError(t, err)
	require.Len(t, s.Joints, 1)
	length := func(p PieceShape) float64 { // of the side along the joint, y = 30
		var lo, hi [2]float64
		for k, q := range p.From {
			if q[1] != 30 {
				continue
			}
			if q[0] == 0 {
				lo = p.To[k]
			}
			if q[0] == 120 {
				hi = p.To[k]
			}
		}
		return hi[0] - lo[0]
	}
	a, b := 120*(1+s.Pieces[0].Free.XX), 120*(1+s.Pieces[1].Free.XX)
	require.NotEqual(t, a, b)
	for _, p := range s.Pieces {
		assert.Greater(t, length(p), min(a, b))
		assert.Less(t, length(p), max(a, b))
	}
	w, err := m.WorstUniform(t.Context(), d)
	require.NoError(t, err)
	assert.LessOrEqual(t, s.Joints[0].Utilisation, w.Joints[0])
	assert.Greater(t, s.Joints[0].Utilisation, 0.01)
	_, err = m.Shape(t.Context(), d, "shift-3", 0)
	assert.Error(t, err, "no such state")
}
