package influence

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// DefaultHome is the climate of a board whose file names none.
const DefaultHome = "continental-heated"

// Demand is what a board is asked to bear. The zero value takes the climate and
// the exposures of the board's file: the driest and dampest month of its home,
// DefaultHome when it names none, and the standard set of exposures beside those it
// lists.
type Demand struct {
	Climate     *moisture.Climate    // overrides the board's home
	Air         []moisture.NamedRoom // further end states: settled in an air
	Moistures   []float64            // further end states: every piece at one % MC, suddenly
	Shifts      []float64            // further end states: every piece changed by % MC from its gluing moisture, suddenly
	Events      []moisture.Event     // override the exposures of the board's file
	NoHistories bool                 // follow no exposure at all
	ByStress    bool                 // by stress over strength alone: what a search ranks by, and no verdict
	NoMishaps   bool                 // leave out the mishaps of a set, which are told beside the verdict
}

// Setting is the air in which a board's exposures happen. Errors: a fault of an
// unknown climate or of the board's own months.
func (d *Demand) Setting(b *layout.Board) (moisture.Setting, error) {
	in := moisture.Setting{Shop: b.GlueUp, Flat: b.Stands == layout.Flat, Mass: mass(b)}
	var err error
	switch {
	case d.Climate != nil:
		in.Home = *d.Climate
	case len(b.Home.Months) == 12:
		in.Home, err = moisture.FromMonths(b.Home.Months, "/home/months")
	default:
		name := b.Home.Name
		if name == "" {
			name = DefaultHome
		}
		in.Home, err = moisture.FindClimate(name)
		err = fault.At(err, "/home")
	}
	return in, err
}

// mass is that of a board [kg], its wood at the moisture it was glued at; what has no
// density is refused elsewhere.
func mass(b *layout.Board) (kg float64) {
	density := map[string]float64{}
	for i := range b.Pieces {
		p := &b.Pieces[i]
		rho, known := density[p.Species]
		if !known {
			if s, err := wood.Find(p.Species); err == nil {
				rho, _ = moisture.DryDensity(s)
			}
			density[p.Species] = rho
		}
		kg += rho * (1 + p.Moisture/100) * p.Area * b.Thickness / 1e9
	}
	return kg
}

// Check lists what cannot be asked of a board: air, moistures or shifts out of
// range, and exposures that are wrong or that this home's air cannot bring. Pointers are into the demand, "/air/0",
// "/moistures/0", "/shifts/0", "/events/0/minutes"; those of the exposures of the
// board's own file, which are looked at in its own home even where the demand follows
// others or none, are into that file, "/exposures/0/minutes".
func (d *Demand) Check(b *layout.Board) fault.List {
	var l fault.List
	least, most := math.Inf(1), math.Inf(-1)
	for i := range b.Pieces {
		least, most = min(least, b.Pieces[i].Moisture), max(most, b.Pieces[i].Moisture)
	}
	for i, v := range d.Moistures {
		l = append(l, fault.Range(fmt.Sprintf("/moistures/%d", i), "moisture", v, 0, wood.NominalFSP, "% MC")...)
	}
	for i, v := range d.Shifts {
		at := fmt.Sprintf("/shifts/%d", i)
		if bad := fault.Range(at, "change of moisture", v, -wood.NominalFSP, wood.NominalFSP, "% MC"); len(bad) > 0 {
			l = append(l, bad...)
		} else if v < -least {
			l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: at, Detail: "the driest piece would hold less than no water",
				Found: fmt.Sprintf("%g", v), Allowed: fmt.Sprintf("%g to %g %% MC", -least, wood.NominalFSP)})
		}
	}
	_, bad := d.exposures(b)
	l = append(l, bad...)
	if len(b.Exposures) > 0 && (d.NoHistories || len(d.Events) > 0) { // not followed, and wrong all the same
		_, bad = new(Demand).exposures(b)
		l = append(l, bad...)
	}
	for i, a := range d.Air {
		at := fmt.Sprintf("/air/%d", i)
		l = append(l, a.Room.Faults(at)...)
		if a.Name == "" {
			l = append(l, fault.Fault{Rule: fault.MissingKey, Pointer: at + "/name", Detail: "a state of air needs a name"})
		}
	}
	return l
}

// Exposures lists what to follow: the demand's events, or those of the board's file
// and the standard set, for what will happen to a board happens besides ordinary use;
// a file that gives ordinary use itself, or a set, gives all of it. Equal ones once,
// each under an ID of its own. The error is a fault.List, see Check.
func (d *Demand) Exposures(b *layout.Board) ([]moisture.Event, error) {
	out, l := d.exposures(b)
	if d.NoMishaps {
		out = slices.DeleteFunc(out, moisture.Event.Aside)
	}
	return out, l.Err()
}

func (d *Demand) exposures(b *layout.Board) ([]moisture.Event, fault.List) {
	if d.NoHistories {
		return nil, nil
	}
	asked, from := d.Events, "/events"
	if len(asked) == 0 {
		asked, from = b.Exposures, "/exposures"
	}
	if len(d.Events) == 0 && !slices.ContainsFunc(asked, moisture.Event.IsOrdinary) {
		asked = append(slices.Clone(asked), moisture.Event{Name: moisture.StandardSet})
	}
	in, err := d.Setting(b)
	if err != nil {
		return nil, fault.Of(err)
	}
	var out []moisture.Event
	var faults fault.List
	for i, ev := range asked {
		events, l := ev.Several()
		if ev.Patch != nil && len(l) == 0 {
			l = ev.Patch.Within(b.Width, b.Height).At("/patch")
		}
		for k := 0; k < len(events) && len(l) == 0; k++ { // what this home's air cannot bring
			_, err := moisture.Expand(events[k], in)
			l = fault.Of(err)
		}
		faults = append(faults, l.At(fmt.Sprintf("%s/%d", from, i))...)
	next:
		for _, e := range events {
			for k := range out {
				o := &out[k]
				if o.Equal(e) {
					if o.Aside() { // a mishap that is asked for by name counts
						*o = e
					}
					continue next
				}
			}
			out = append(out, e)
		}
	}
	return moisture.Numbered(out), faults
}

// given tells the values of an event: "minutes 240, face top".
func given(e *moisture.Event) string {
	var out []string
	if e.Patch != nil {
		out = append(out, e.Patch.String())
	}
	for _, k := range sorted(e.Values) {
		out = append(out, fmt.Sprintf("%s %g", k, e.Values[k]))
	}
	for _, k := range sorted(e.Words) {
		out = append(out, k+" "+e.Words[k])
	}
	return strings.Join(out, ", ")
}
