package plan

import (
	"context"
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// small is the smallest board that has a panel, a turned slice and a border.
func small() *layout.File {
	return &layout.File{Name: "Small Harbour", Units: "mm", Thickness: 30, Stock: map[string]layout.Material{
		"M": {Species: "sugar-maple", Ring: layout.RingAt(30)}, "W": {Species: "black-walnut", Ring: layout.RingAt(60)}},
		Field:   layout.Field{Slices: &layout.Slices{Strips: []layout.Strip{{Stock: "M", Width: 40}, {Stock: "W", Width: 30}}, Height: 35, Count: 2, Turn: "end-for-end"}},
		Borders: []layout.Edging{{Stock: "W", Grain: "along", Width: 15, Sides: []string{"left", "right"}}},
		Glue:    "pva-crosslinking", Finish: "tung-oil-2", Exposures: []moisture.Event{{Name: "sink-soak"}}}
}

// made is its plan, worked out once.
var made = sync.OnceValues(func() (*Plan, error) {
	return Make(context.Background(), small(), Shop{Prices: map[string]float64{"W": 5000}, Arrival: map[string]float64{"": 11, "W": 9}}, check.Conditions{})
})

func TestPlanOfASmallBoard(t *testing.T) {
	p, err := made()
	require.NoError(t, err)
	assert.Equal(t, []string{"panel A", "field", "border 1, left and right"}, []string{p.GlueUps.GlueUps[0].Name, p.GlueUps.GlueUps[1].Name, p.GlueUps.GlueUps[2].Name})
	assert.Equal(t, []float64{11, 9}, []float64{p.Stock.Woods[0].Arrival, p.Stock.Woods[1].Arrival})

	// money by hand: what is bought, at 5000 a m³, of walnut alone
	w := p.CutList.Woods[1]
	require.NotNil(t, w.Cost)
	assert.InEpsilon(t, 5000*w.Rough/1000/0.8, *w.Cost, 1e-12)
	assert.Nil(t, p.CutList.Woods[0].Cost)
	assert.Equal(t, *w.Cost, *p.CutList.Cost)
	assert.InEpsilon(t, w.Buy/2.359737216, w.BuyFeet, 1e-12, "a board foot is 144 in³")

	// the slice is sawn as much thicker as flattening takes
	f := p.Flattening
	assert.InDelta(t, 30+f.Leave, p.CutList.Slice, 1e-9)
	assert.GreaterOrEqual(t, f.Leave, math.Max(f.Cup, f.Bow)+f.Twist+f.Saw+f.Slip+f.Clean-1e-9)
	require.Len(t, f.Stages, 2, "the field, and the field with its border")
	for _, s := range f.Stages {
		assert.LessOrEqual(t, math.Max(math.Abs(s.Cup), math.Abs(s.Bow))+math.Abs(s.Twist), math.Max(f.Cup, f.Bow)+f.Twist+1e-9, s.Name)
	}

	// the calendar adds up: nothing starts before what it waits for, the last day is the end
	mill := slices.IndexFunc(p.Calendar.Tasks, func(t Task) bool { return t.ID == "mill-border" })
	assert.Equal(t, []string{"settle-border", "glue-the-field"}, p.Calendar.Tasks[mill].After, "as late as can be")
	for i, task := range p.Calendar.Tasks {
		assert.GreaterOrEqual(t, task.Start, p.Calendar.Tasks[max(0, i-1)].Start, "in the order of days")
		for _, a := range task.After {
			i := slices.IndexFunc(p.Calendar.Tasks, func(o Task) bool { return o.ID == a })
			require.GreaterOrEqual(t, i, 0, a)
			assert.GreaterOrEqual(t, task.Start, p.Calendar.Tasks[i].Start+p.Calendar.Tasks[i].Days-1e-9, task.ID)
		}
	}
	assert.Equal(t, p.Calendar.Days, p.Calendar.Tasks[len(p.Calendar.Tasks)-1].Start)
	assert.Equal(t, 21.0, p.Surface.Cure, "tung oil cures three weeks")

	// the water of the glue by hand: that of rows and border, over dry wood as thick as the
	// joints are high; the panel's has left
	maple, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	walnut, err := wood.Find("black-walnut")
	require.NoError(t, err)
	dry := 2 * 35 * p.CutList.Slice * (40*maple.SG12.V + (30+15+15)*walnut.SG12.V) / 1000 // g
	water := (p.GlueUps.GlueUps[1].Grams + p.GlueUps.GlueUps[2].Grams) * 0.5
	assert.InEpsilon(t, 100*water/dry, p.Surface.WaterRise, 1e-9)
}

// Whatever went in has a source and a status.
func TestEveryFigureHasItsSource(t *testing.T) {
	p, err := made()
	require.NoError(t, err)
	require.NotEmpty(t, p.Figures())
	for _, f := range p.Figures() {
		assert.NotEmpty(t, f.Source, f.Key)
		assert.Contains(t, []string{"seen", "derived", "memory", "estimated", "given"}, f.Status, f.Key)
		assert.False(t, strings.HasPrefix(f.Source, "WH190"), "%s: the print, not its key", f.Key)
	}
}

// Another air of the shop gives another plan, the same air the same to the letter.
func TestShopAirMovesTheCalendar(t *testing.T) {
	p, err := made()
	require.NoError(t, err)
	text, err := json.Marshal(p)
	require.NoError(t, err)
	again, err := Make(context.Background(), small(), Shop{Prices: map[string]float64{"W": 5000}, Arrival: map[string]float64{"": 11, "W": 9}}, check.Conditions{})
	require.NoError(t, err)
	same, err := json.Marshal(again)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(same))

	damp := Shop{Air: &moisture.Room{Humidity: 65, Temperature: 12}, Arrival: map[string]float64{"": 11, "W": 9}}
	other, err := Make(context.Background(), small(), damp, check.Conditions{})
	require.NoError(t, err)
	assert.False(t, other.Stock.InReach, "12 % is not where this home's wood goes")
	assert.NotEqual(t, p.Calendar.Days, other.Calendar.Days)
	assert.Greater(t, other.GlueUps.Open, p.GlueUps.Open, "glue stays open longer in the cold")
}

// An answer has empty lists and no missing ones, also of a board that leaves nothing
// open, has no finish and is followed through nothing.
func TestNoListIsMissing(t *testing.T) {
	f := small()
	mc := 8.0
	for key, m := range f.Stock {
		m.Moisture = &mc
		f.Stock[key] = m
	}
	f.Finish, f.Borders, f.GlueUp = "none", nil, &moisture.Room{Humidity: 45, Temperature: 20}
	f.Home = layout.Home{Name: "continental-heated"}
	p, err := Make(context.Background(), f, Shop{}, check.Conditions{NoHistories: true})
	require.NoError(t, err)
	text, err := json.Marshal(p)
	require.NoError(t, err)
	assert.NotRegexp(t, `:-0[,}]`, string(text))
	for _, at := range regexp.MustCompile(`"([a-z_]+)":null`).FindAllStringSubmatch(string(text), -1) {
		assert.Contains(t, []string{"plank_days", "ripped_days", "reading", "price", "cost", "uptake_minutes", "rest_days"}, at[1])
	}
}

// One fault for each thing that is wrong with a shop, with its place.
func TestShopFaults(t *testing.T) {
	b, faults := small().Board()
	require.Empty(t, faults)
	zero, minus, huge := 0.0, -3.0, 1e9
	for pointer, s := range map[string]Shop{
		"/prices/Q":        {Prices: map[string]float64{"Q": 1}},
		"/prices/":         {Prices: map[string]float64{"": 1}},
		"/prices/M":        {Prices: map[string]float64{"M": -1}},
		"/arrival/M":       {Arrival: map[string]float64{"M": 45}},
		"/arrival/walnut":  {Arrival: map[string]float64{"walnut": 9}},
		"/kerf":            {Kerf: &zero},
		"/trim":            {Trim: &minus},
		"/clamp":           {Clamp: &zero},
		"/longest":         {Longest: &huge},
		"/defects":         {Defects: &huge},
		"/pace":            {Pace: &minus},
		"/air/humidity":    {Air: &moisture.Room{Humidity: 120, Temperature: 20}},
		"/air/temperature": {Air: &moisture.Room{Humidity: 50, Temperature: -8}},
		"/month":           {Month: 13},
		"/workshop":        {Workshop: "the-moon", Month: 2},
	} {
		l := s.Faults(b)
		require.Len(t, l, 1, pointer)
		assert.Equal(t, pointer, l[0].Pointer)
		assert.NotEmpty(t, l[0].Detail)
		_, err := Make(context.Background(), small(), s, check.Conditions{})
		assert.ErrorContains(t, err, "/shop"+pointer)
	}
	widest, dry := layout.MaxKerf, Shop{Air: &moisture.Room{Humidity: 2, Temperature: 60}}
	assert.Empty(t, (&Shop{Kerf: &widest}).Faults(b), "what a file may tell a flag may")
	assert.Empty(t, dry.Faults(b), "as glue_up")
	warm, home := Shop{Month: 7}, moisture.Climates()[0]
	july, err := warm.air(b, home)
	require.NoError(t, err)
	winter := Shop{Month: 1}
	january, err := winter.air(b, home)
	require.NoError(t, err)
	assert.Greater(t, july.Balance, january.Balance, "the month tells the air of the shop")
	both := Shop{Month: 3, Air: &moisture.Room{Humidity: 50, Temperature: 20}}
	assert.Equal(t, "/month", both.Faults(b)[0].Pointer)
}

// A plan is of the typical draw of rings that nobody has looked at, and says how the
// unlucky one comes out; the cut list does not pretend to know them.
func TestUnknownRingsInAPlan(t *testing.T) {
	f := boardtest.Unlooked(t)
	f.Finish, f.Renewed = "mineral-oil", &moisture.Renewal{Months: 2} // nothing to renew while it is flattened bare
	c := check.Conditions{NoHistories: true}
	p, err := Make(t.Context(), f, Shop{}, c)
	require.NoError(t, err)
	_, r, err := check.File(t.Context(), f, boardtest.Lay(t, f), c, check.Board)
	require.NoError(t, err)
	assert.Equal(t, r.Headline, p.Headline)
	assert.NotContains(t, p.Card.Food, "nut", "mineral oil is of no nut")
	assert.Contains(t, p.Notes, r.Rings.Text)
	for _, s := range p.CutList.Sticks {
		if s.Stock == "M" {
			assert.Equal(t, "not looked at", s.Rings)
		}
	}
}
