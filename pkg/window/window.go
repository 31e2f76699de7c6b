// Package window works out how far a maker may go, for a care card: in which air a
// board stays safe, how far its wood may move, how wide a border or how large a
// field of this construction may be. All of it is about even states: every piece
// settled.
package window

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// The two limits of utilisation that a care card speaks of: below the first a
// board holds, below the second it is tight but not doubtful.
const (
	belowTight    = verdict.FromTight
	belowDoubtful = verdict.FromDoubtful
)

// cardTemperature is the room a care card speaks of, °C.
const cardTemperature = 20

// Windows is what a board bears, for a care card. All of it is worked out on
// even states: every piece settled.
type Windows struct {
	Humidity []HumidityWindow `json:"humidity"` // at 20 °C
	Shifts   []ShiftWindow    `json:"shifts"`   // one change of all wood after gluing
	Border   *SizeWindow      `json:"border,omitempty"`
	Field    *SizeWindow      `json:"field,omitempty"`
	Spread   []SpreadWindow   `json:"spread,omitempty"`
	Notes    []string         `json:"notes"`
}

// HumidityWindow is the air in which a board stays below a limit, % relative
// humidity at 20 °C. OpenLow and OpenHigh say that the limit is not reached at
// the end of what was tried, 2 and 98 %.
type HumidityWindow struct {
	Below    float64 `json:"below"`  // utilisation
	Season   bool    `json:"season"` // the change takes a season and stress relaxes; otherwise days
	None     bool    `json:"none"`   // not even the air nearest to its moisture at gluing will do
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	OpenLow  bool    `json:"open_low"`
	OpenHigh bool    `json:"open_high"`
}

// ShiftWindow is the largest change of all wood from its moisture at gluing that
// stays below a limit, % MC.
type ShiftWindow struct {
	Below   float64 `json:"below"`
	Season  bool    `json:"season"`
	Drying  float64 `json:"drying"`  // negative
	Wetting float64 `json:"wetting"` // positive
	// Bounded tell that no more was tried: bone dry, or fibre saturation.
	DryBounded bool `json:"dry_bounded"`
	WetBounded bool `json:"wet_bounded"`
}

// SizeWindow is the largest size of this construction that stays below doubtful
// in its home, by boards recomputed.
type SizeWindow struct {
	Largest     float64 `json:"largest"`     // mm (border: width; field: longer side), 0 when none will do
	Utilisation float64 `json:"utilisation"` // there
	Next        float64 `json:"next"`        // mm, the least size found to be too large; 0 when none was
	Columns     int     `json:"columns,omitempty"`
	Rows        int     `json:"rows,omitempty"`
}

// Of works out the windows of a board in the home of the conditions.
// Errors: those of influence.Prepare, or the context's.
func Of(ctx context.Context, b *layout.Board, c check.Conditions) (*Windows, error) {
	c.Exposures, c.NoCracks, c.Progress = []string{check.NoExposures}, true, nil
	if c.Cache == nil {
		c.Cache = &sparse.Cache{}
	}
	m, err := influence.Prepare(ctx, b, c)
	if err != nil {
		return nil, err
	}
	w := &Windows{Notes: []string{"Every piece is taken to have settled; a wet face or a fast change of air is another matter: see the exposures of the check."}}
	for _, season := range []bool{false, true} {
		for _, below := range []float64{belowTight, belowDoubtful} {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			w.Humidity = append(w.Humidity, humidityWindow(m, b, below, season))
			w.Shifts = append(w.Shifts, shiftWindow(m, b, below, season))
		}
	}
	if w.Spread, err = spreadWindows(ctx, m, b, c); err != nil {
		return nil, err
	}
	if w.Border, err = borderWindow(ctx, b, c); err != nil {
		return nil, err
	}
	w.Field, err = fieldWindow(ctx, b, c)
	return w, err
}

// Humidity that is tried, %.
const lowestHumidity, highestHumidity = 2.0, 98.0

func humidityWindow(m *influence.Model, b *layout.Board, below float64, season bool) HumidityWindow {
	u := func(rh float64) float64 {
		mc, err := moisture.EMC(cardTemperature, rh)
		if err != nil {
			return math.Inf(1) // outside the law of moisture: not safe
		}
		return m.WorstEven(mc, season)
	}
	w := HumidityWindow{Below: below, Season: season}
	mid, err := moisture.Humidity(cardTemperature, meanMoisture(b))
	if err != nil {
		mid = highestHumidity // glued wetter than any air makes it
	}
	mid = math.Max(lowestHumidity, math.Min(mid, highestHumidity))
	if u(mid) >= below {
		mid = calmest(u, mid)
	}
	if u(mid) >= below {
		w.None = true
		return w
	}
	const step = 0.1 // %
	safe := func(rh float64) bool { return u(rh) < below }
	w.Low, w.OpenLow = edge(safe, mid, lowestHumidity, step)
	w.High, w.OpenHigh = edge(safe, mid, highestHumidity, step)
	w.Low, w.High = math.Ceil(w.Low*10)/10, math.Floor(w.High*10)/10
	return w
}

// calmest looks for the air of least utilisation round a first guess by golden
// sections: where neighbours were glued at unlike moisture it is not the mean.
func calmest(u func(float64) float64, guess float64) float64 {
	lo, hi := math.Max(lowestHumidity, guess-25), math.Min(highestHumidity, guess+25)
	const golden = 0.6180339887498949
	x, y := hi-golden*(hi-lo), lo+golden*(hi-lo)
	ux, uy := u(x), u(y)
	for hi-lo > 0.2 {
		if ux < uy {
			hi, y, uy = y, x, ux
			x = hi - golden*(hi-lo)
			ux = u(x)
		} else {
			lo, x, ux = x, y, uy
			y = lo + golden*(hi-lo)
			uy = u(y)
		}
	}
	return (lo + hi) / 2
}

// edge goes from a safe place towards an end and gives the last safe place,
// within step by halving, and whether the end itself is safe.
func edge(safe func(float64) bool, from, end, step float64) (at float64, open bool) {
	if safe(end) {
		return end, true
	}
	for math.Abs(end-from) > step {
		if mid := (from + end) / 2; safe(mid) {
			from = mid
		} else {
			end = mid
		}
	}
	return from, false
}

func meanMoisture(b *layout.Board) float64 {
	mc, area := 0.0, 0.0
	for i := range b.Pieces {
		mc += b.Pieces[i].Moisture * b.Pieces[i].Area
		area += b.Pieces[i].Area
	}
	return mc / area
}

func shiftWindow(m *influence.Model, b *layout.Board, below float64, season bool) ShiftWindow {
	const step = 0.01 // % MC
	const saturation = 30
	driest, wettest := math.Inf(1), 0.0
	for i := range b.Pieces {
		driest, wettest = math.Min(driest, b.Pieces[i].Moisture), math.Max(wettest, b.Pieces[i].Moisture)
	}
	safe := func(d float64) bool { return m.WorstShift(d, season) < below }
	w := ShiftWindow{Below: below, Season: season}
	w.Drying, w.DryBounded = edge(safe, 0, -driest, step)
	w.Wetting, w.WetBounded = edge(safe, 0, math.Max(0, saturation-wettest), step)
	w.Drying, w.Wetting = math.Ceil(w.Drying*100)/100, math.Floor(w.Wetting*100)/100
	return w
}

// worstOf is the worst utilisation of a board in its home.
func worstOf(ctx context.Context, b *layout.Board, c check.Conditions) (float64, error) {
	m, err := influence.Prepare(ctx, b, c)
	if err != nil {
		return 0, err
	}
	w, err := m.WorstUniform(ctx, c)
	return w.Utilisation, err
}
