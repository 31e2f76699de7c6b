package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Whatever a caller can mend is a fault.List with a place in what was given.
func TestErrorsAreFaultsWithAPlace(t *testing.T) {
	good := boardtest.Text(t, square)
	event := func(name string, values map[string]float64) []moisture.Event {
		return []moisture.Event{{Name: name, Values: values}}
	}
	changed := func(f func(b *layout.Board)) *layout.Board {
		b := *good
		f(&b)
		return &b
	}
	for _, c := range []struct {
		name    string
		board   *layout.Board
		c       Conditions
		pointer string
	}{
		{"unknown home in the file", changed(func(b *layout.Board) { b.Home = layout.Home{Name: "mars"} }), Conditions{}, "/home"},
		{"unknown exposure", good, Conditions{Events: event("wash-one-fase", nil)}, "/events/0/name"},
		{"unknown exposure in the file", changed(func(b *layout.Board) { b.Exposures = event("wash-one-fase", nil) }), Conditions{}, "/exposures/0/name"},
		{"value out of range", good, Conditions{Events: event("wash-one-face", map[string]float64{"minutes": -1})}, "/events/0/minutes"},
		{"shift below no water", good, Conditions{Shifts: []float64{1, -20}}, "/shifts/1"},
		{"moisture below none", good, Conditions{Moistures: []float64{-1}}, "/moistures/0"},
		{"moisture is none", good, Conditions{Moistures: []float64{8, math.NaN()}}, "/moistures/1"},
		{"air too damp", good, Conditions{Air: []moisture.NamedRoom{{Name: "a", Room: moisture.Room{Humidity: 120, Temperature: 20}}}}, "/air/0/humidity"},
		{"air without a name", good, Conditions{Air: []moisture.NamedRoom{{Room: moisture.Room{Humidity: 50, Temperature: 20}}}}, "/air/0/name"},
		{"too fine", good, Conditions{Refine: 9}, "/refine"},
		{"unknown wood", changed(func(b *layout.Board) {
			b.Pieces = append([]layout.Piece(nil), b.Pieces...)
			b.Pieces[0].Species, b.Pieces[0].Stock = "plastic", "a/b"
		}), Conditions{}, "/stock/a~1b/species"},
		{"unknown glue", changed(func(b *layout.Board) { b.Glue = "spit" }), Conditions{}, "/glue"},
	} {
		_, err := Board(t.Context(), c.board, c.c)
		var l fault.List
		require.ErrorAs(t, err, &l, c.name)
		require.Len(t, l, 1, c.name)
		assert.Equal(t, c.pointer, l[0].Pointer, c.name)
		assert.NotEmpty(t, l[0].Detail, c.name)
	}
	// What the air of a file's home cannot bring is told whether the question follows it,
	// others or none.
	damp := changed(func(b *layout.Board) {
		b.Exposures = event("flat-on-dry-counter", map[string]float64{"month": 1, "humidity_change": -80})
	})
	for name, c := range map[string]Conditions{"followed": {}, "no exposure": {NoHistories: true}, "another": {Events: event("wash-one-face", nil)}} {
		_, err := Board(t.Context(), damp, c)
		require.Len(t, fault.Of(err), 1, name)
		assert.Equal(t, "/exposures/0/humidity_change", fault.Of(err)[0].Pointer, name)
	}
	_, err := Board(t.Context(), good, Conditions{Moistures: []float64{-1, 99}, Refine: -1})
	assert.Len(t, fault.Of(err), 3, "all at once")
	p, err := Prepare(t.Context(), good, Conditions{NoHistories: true})
	require.NoError(t, err)
	_, err = p.Report(t.Context(), Conditions{})
	assert.Equal(t, "/events", fault.Of(err)[0].Pointer, "prepared without bending")
	_, err = p.Instant(t.Context(), Conditions{NoHistories: true}, "driest-mouth", 0)
	assert.Equal(t, "/state", fault.Of(err)[0].Pointer)
}
