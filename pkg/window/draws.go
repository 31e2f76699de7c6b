package window

import (
	"math"

	"github.com/tanrad/tanrad/pkg/check"
)

// both works windows out for the draws of a board and gives what they all bear.
func both(d *check.Draws, work func(*check.Draw) (*Windows, error)) (*Windows, error) {
	w, err := work(&d.Typical)
	if err != nil || d.Unlucky == nil {
		return w, err
	}
	other, err := work(d.Unlucky)
	if err != nil {
		return nil, err
	}
	w.narrow(other)
	return w, nil
}

// narrow leaves of the windows what others of the same limits bear too.
func (w *Windows) narrow(o *Windows) {
	for i := range w.Humidity {
		if i < len(o.Humidity) {
			w.Humidity[i].narrow(&o.Humidity[i])
		}
	}
	for i := range w.Shifts {
		if i < len(o.Shifts) {
			w.Shifts[i].narrow(&o.Shifts[i])
		}
	}
	for i := range w.Spread {
		if i < len(o.Spread) {
			w.Spread[i].narrow(&o.Spread[i])
		}
	}
	w.Border.narrow(o.Border)
	w.Field.narrow(o.Field)
	for _, s := range o.Skipped {
		w.Skipped = append(w.Skipped, s+", of the unlucky draw")
	}
}

func (w *HumidityWindow) narrow(o *HumidityWindow) {
	if w.None || o.None {
		*w = HumidityWindow{Below: w.Below, Season: w.Season, None: true}
		return
	}
	w.Low, w.High = math.Max(w.Low, o.Low), math.Min(w.High, o.High)
	w.OpenLow, w.OpenHigh = w.OpenLow && o.OpenLow, w.OpenHigh && o.OpenHigh
	if w.Low > w.High {
		*w = HumidityWindow{Below: w.Below, Season: w.Season, None: true}
	}
}

func (w *ShiftWindow) narrow(o *ShiftWindow) {
	w.Drying, w.Wetting = math.Max(w.Drying, o.Drying), math.Min(w.Wetting, o.Wetting)
	w.DryBounded, w.WetBounded = w.DryBounded && o.DryBounded, w.WetBounded && o.WetBounded
}

func (w *SpreadWindow) narrow(o *SpreadWindow) {
	if o.Spread < w.Spread {
		w.Spread, w.Worst = o.Spread, o.Worst
	}
	w.Alternating = math.Min(w.Alternating, o.Alternating)
}

func (w *SizeWindow) narrow(o *SizeWindow) {
	switch {
	case w == nil || o == nil:
		return
	case o.Largest < w.Largest:
		next := w.Next
		*w = *o
		w.Next = least(next, o.Next)
	default:
		w.Next = least(w.Next, o.Next)
	}
}

// least is the smaller of two sizes [mm] of which 0 stands for none.
func least(a, b float64) float64 {
	if a == 0 || b == 0 {
		return math.Max(a, b)
	}
	return math.Min(a, b)
}
