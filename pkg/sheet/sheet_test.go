package sheet

import (
	"context"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/plan"
)

var made = sync.OnceValues(func() (*plan.Plan, error) {
	f := &layout.File{Name: `Tide <script>alert("x")</script> & Rock`, Units: "in", Thickness: 1.25, Stock: map[string]layout.Material{
		"M": {Species: "sugar-maple", Ring: layout.RingAt(30)}, "W": {Species: "black-walnut", Ring: layout.RingAt(60)}},
		Field: layout.Field{Slices: &layout.Slices{Strips: []layout.Strip{{Stock: "M", Width: 1.5}, {Stock: "W", Width: 1}}, Height: 1.5, Count: 2, Turn: "end-for-end"}},
		Glue:  "pva", Finish: "mineral-oil", Exposures: []moisture.Event{{Name: "sink-soak"}}}
	return plan.Make(context.Background(), f, plan.Shop{Prices: map[string]float64{"M": 9}}, check.Conditions{})
})

// Pages hold what the plan says, in the units of the file; a name cannot bring in
// markup, and nothing is loaded from elsewhere.
func TestPagesHoldThePlan(t *testing.T) {
	p, err := made()
	require.NoError(t, err)
	whole, err := Plan(p, []byte("<svg><title>Order of work</title></svg>"))
	require.NoError(t, err)
	card, err := Card(p)
	require.NoError(t, err)
	for _, page := range []string{string(whole), string(card)} {
		assert.NotContains(t, page, "<script")
		assert.Contains(t, page, "Tide &lt;script&gt;")
		assert.NotContains(t, page, "http")
		assert.NotContains(t, page, "src=")
		assert.NotContains(t, page, "no value")
		assert.NotContains(t, page, "%!")
		assert.NotContains(t, page, "ZgotmplZ")
		assert.Contains(t, page, p.Card.Cups)
		for _, n := range p.Card.Never {
			assert.Contains(t, page, n.Text)
		}
	}
	assert.Contains(t, string(whole), "<figure><svg><title>Order of work")
	assert.Contains(t, string(card), "size:5.5in 8.5in")
	assert.Contains(t, string(whole), "size:letter")
	assert.Contains(t, string(whole), "1 1/2 in", "lengths in inches")
	assert.NotContains(t, string(whole), "+0.0 %", "nothing to correct for at 20 °C")
	assert.Contains(t, string(whole), p.Stock.Weigh)
	for _, task := range p.Calendar.Tasks {
		assert.Contains(t, string(whole), task.What)
	}
	for _, f := range p.Figures() {
		assert.Contains(t, string(whole), strings.ReplaceAll(f.Key, "-", " "), "what went in")
	}
}
