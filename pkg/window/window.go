// Package window works out how far a maker may go, for a care card: in which air a
// board stays safe, how far its wood may move, how wide a border or how large a
// field of this construction may be.
package window

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// The two limits of utilisation that a care card speaks of: below the first a
// board holds, below the second it is tight but not doubtful.
const (
	belowTight    = verdict.FromTight
	belowDoubtful = verdict.FromDoubtful
)

// cardTemperature is the room a care card speaks of, °C.
const cardTemperature = 20

// Windows is what a board bears, for a care card. The air and the change of
// moisture are worked out for settled pieces; Now and the sizes are the figures
// of a check under the same conditions, exposures and all.
type Windows struct {
	Units    string           `json:"units"`     // how the board file spoke: "mm" or "in"; numbers below stay mm
	Now      check.Figure     `json:"now"`       // the board as it stands
	LookedAt []string         `json:"looked_at"` // end states and exposures that Now and the sizes are of
	Humidity []HumidityWindow `json:"humidity"`  // at 20 °C
	Shifts   []ShiftWindow    `json:"shifts"`    // one change of all wood after gluing
	Border   *SizeWindow      `json:"border,omitempty"`
	Field    *SizeWindow      `json:"field,omitempty"`
	Spread   []SpreadWindow   `json:"spread,omitempty"`
	Notes    []string         `json:"notes"`
	Skipped  []string         `json:"skipped,omitempty"` // what was not worked out, and why
}

// HumidityWindow is the air in which a board stays below a limit, % relative
// humidity at 20 °C. OpenLow and OpenHigh say that the limit is not reached at
// the end of what was tried, 2 and 98 %.
type HumidityWindow struct {
	Below    float64 `json:"below"`  // utilisation, as of a board whose moisture at gluing was measured; see check.ScaleOf
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
	Below   float64 `json:"below"` // as of HumidityWindow
	Season  bool    `json:"season"`
	Drying  float64 `json:"drying"`  // negative
	Wetting float64 `json:"wetting"` // positive
	// Bounded tell that no more was tried: bone dry, or fibre saturation.
	DryBounded bool `json:"dry_bounded"`
	WetBounded bool `json:"wet_bounded"`
}

// SizeWindow is the largest size of this construction that stays below doubtful
// in a check, by boards recomputed. No size that was tried below it is too large.
type SizeWindow struct {
	Largest     float64 `json:"largest"`     // mm (border: width; field: longer side), 0 when none will do
	Utilisation float64 `json:"utilisation"` // there
	Next        float64 `json:"next"`        // mm, the least size found to be too large; 0 when none was
	Columns     int     `json:"columns,omitempty"`
	Rows        int     `json:"rows,omitempty"`
}

// drawnNote says what the windows are of where rings are unknown.
const drawnNote = "Nobody has looked at some of the rings: a window is what the typical and the unlucky one in twenty of the draws both bear."

// settledNote says what the windows of air and moisture leave out.
const settledNote = "Air and change of moisture: every piece is taken to have settled there, and no exposure is looked at; the limits go by stress, scaled by what a crack needs to run when all wood changes alike. A wet face or a fast change of air is another matter, see now and looked_at."

// Of works out the windows of a board under conditions. Of a board whose rings nobody
// has looked at they are what the typical and the unlucky draw both bear. When ctx ends
// in between, what is done is given and the rest listed as skipped.
//
// Errors: those of check.Board for the board as it stands; the context's when not
// even that was judged.
func Of(ctx context.Context, f *layout.File, c check.Conditions) (*Windows, error) {
	c.Progress = nil
	c.Remember()
	now, drawn, err := check.FigureOfFile(ctx, f, c)
	if err != nil {
		return nil, err
	}
	w := &Windows{Units: drawn.Typical.Board.Units, Now: now, LookedAt: now.LookedAt, Humidity: []HumidityWindow{}, Shifts: []ShiftWindow{}, Notes: []string{settledNote}}
	if err := w.draw(ctx, &drawn.Typical, c); err != nil {
		return nil, err
	}
	if drawn.Unlucky == nil {
		return w, nil
	}
	w.Notes = append(w.Notes, drawnNote)
	other := &Windows{}
	if err := other.draw(ctx, drawn.Unlucky, c); err != nil {
		return nil, err
	}
	w.narrow(other)
	return w, nil
}

// draw works out the windows of one board file.
func (w *Windows) draw(ctx context.Context, d *check.Draw, c check.Conditions) error {
	f, b := d.File, d.Board
	settled := c
	settled.NoHistories = true
	home, err := c.ClimateOf(b)
	if err != nil {
		return err
	}
	var m *influence.Model
	for _, part := range []struct {
		what string
		work func() error
	}{
		{"air and change of moisture", func() (err error) {
			if m, err = influence.Prepare(ctx, b, settled.Solving()); err == nil {
				err = w.even(ctx, m, b, home)
			}
			return err
		}},
		{"differences of moisture at gluing", func() (err error) {
			w.Spread, err = spreadWindows(ctx, b, settled)
			return err
		}},
		{"the border", func() (err error) {
			w.Border, err = borderWindow(ctx, f, b, c)
			return err
		}},
		{"the field", func() (err error) {
			w.Field, err = fieldWindow(ctx, f, b, c)
			return err
		}},
	} {
		err := part.work()
		switch {
		case ctx.Err() != nil:
			w.Skipped = append(w.Skipped, part.what+": no time left")
		case err != nil:
			return err
		}
	}
	return nil
}

// Care is what a care card and a list of stock need of the windows of a board, as it was
// drawn and reported on a session: the air, changing over a season, within which the
// settled board holds, and how far pieces may differ at gluing. It costs a fraction of Of.
// Errors: those of check.Board; the context's.
func Care(ctx context.Context, s *check.Session, d *check.Draws, c check.Conditions) (air HumidityWindow, spread []SpreadWindow, err error) {
	c.Progress = nil
	c.Remember()
	one := func(d *check.Draw) (*Windows, error) {
		home, err := c.ClimateOf(d.Board)
		if err != nil {
			return nil, err
		}
		p, err := s.Prepare(ctx, d.Board, c)
		if err != nil {
			return nil, err
		}
		w := &Windows{}
		if w.Spread, err = spreadWindows(ctx, d.Board, c); err != nil {
			return nil, err
		}
		w.Humidity = []HumidityWindow{humidityWindow(ctx, p.Model(), d.Board, home, belowTight, true)}
		return w, ctx.Err()
	}
	w, err := both(d, one)
	if err != nil {
		return air, nil, err
	}
	return w.Humidity[0], w.Spread, nil
}

// even works out what settled boards bear.
func (w *Windows) even(ctx context.Context, m *influence.Model, b *layout.Board, home moisture.Climate) error {
	var air []HumidityWindow
	var shifts []ShiftWindow
	for _, season := range []bool{false, true} {
		for _, below := range []float64{belowTight, belowDoubtful} {
			air = append(air, humidityWindow(ctx, m, b, home, below, season))
			shifts = append(shifts, shiftWindow(ctx, m, b, below, season))
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	w.Humidity, w.Shifts = air, shifts
	return nil
}

// prepared is a board ready for any air, and its home.
func prepared(ctx context.Context, b *layout.Board, c check.Conditions) (moisture.Climate, *influence.Model, error) {
	home, err := c.ClimateOf(b)
	if err != nil {
		return home, nil, err
	}
	m, err := influence.Prepare(ctx, b, c.Solving())
	return home, m, err
}

// Air is the line of a care card: the air in which a board, as it was drawn, stays below
// doubtful once it has settled over a season. Errors: those of check.Board, and the
// context's.
func Air(ctx context.Context, d *check.Draws, c check.Conditions) (HumidityWindow, error) {
	c.NoHistories = true
	w, err := both(d, func(d *check.Draw) (*Windows, error) {
		home, m, err := prepared(ctx, d.Board, c)
		if err != nil {
			return nil, err
		}
		return &Windows{Humidity: []HumidityWindow{humidityWindow(ctx, m, d.Board, home, belowDoubtful, true)}}, ctx.Err()
	})
	if err != nil {
		return HumidityWindow{}, err
	}
	return w.Humidity[0], nil
}

// Humidity that is tried, %.
const lowestHumidity, highestHumidity = 2.0, 98.0

func humidityWindow(ctx context.Context, m *influence.Model, b *layout.Board, home moisture.Climate, below float64, season bool) HumidityWindow {
	u := func(rh float64) float64 {
		mc, err := moisture.EMC(cardTemperature, rh)
		if err != nil || ctx.Err() != nil {
			return math.Inf(1) // outside the law of moisture: not safe; out of time: of no use
		}
		settled := &home
		if !season {
			settled = nil
		}
		u, err := m.WorstEven(ctx, mc, settled)
		if err != nil {
			return math.Inf(1)
		}
		return check.ScaleOf(b).AsCrack(u)
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

func shiftWindow(ctx context.Context, m *influence.Model, b *layout.Board, below float64, season bool) ShiftWindow {
	const step = 0.01 // % MC
	driest, wettest := math.Inf(1), 0.0
	for i := range b.Pieces {
		driest, wettest = math.Min(driest, b.Pieces[i].Moisture), math.Max(wettest, b.Pieces[i].Moisture)
	}
	safe := func(d float64) bool {
		u, err := m.WorstShift(ctx, d, season)
		return err == nil && check.ScaleOf(b).AsCrack(u) < below
	}
	w := ShiftWindow{Below: below, Season: season}
	w.Drying, w.DryBounded = edge(safe, 0, -driest, step)
	w.Wetting, w.WetBounded = edge(safe, 0, math.Max(0, wood.NominalFSP-wettest), step)
	w.Drying, w.Wetting = math.Ceil(w.Drying*100)/100, math.Floor(w.Wetting*100)/100
	return w
}

// judge tells whether a board stays below doubtful, and its figure when it does.
// What settled states already say need not be asked of the exposures.
func judge(ctx context.Context, b *layout.Board, c check.Conditions) (u float64, ok bool, err error) {
	for _, settled := range []bool{true, c.NoHistories} {
		c := c
		c.NoHistories = settled
		f, err := check.FigureOf(ctx, b, c)
		if err != nil || f.Verdict.Severity() >= check.Doubtful.Severity() {
			return 0, false, err
		}
		u = f.Utilisation
	}
	return u, true, nil
}
