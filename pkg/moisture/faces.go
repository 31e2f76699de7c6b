package moisture

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// FaceKind says what a face of a board meets.
type FaceKind string

// The kinds of face.
const (
	Air          FaceKind = "air"            // room air, still
	Water        FaceKind = "water"          // a film of water lies on it
	Sealed       FaceKind = "sealed"         // nothing passes
	OnWetCounter FaceKind = "on-wet-counter" // lying flat on water: like Water, and no air
	OnDryCounter FaceKind = "on-dry-counter" // lying flat on a tight, dry surface: like Sealed
)

// HoursPerYear is the year of this package: twelve equal months of 730 h.
const HoursPerYear = 8760.0

// Year is twelve months of air, January first. Between the middles of two
// months humidity and temperature run in a straight line.
type Year [12]Room

// At returns the air at an hour of the year; hours outside 0 to 8760 are taken
// round the year.
func (y *Year) At(hour float64) Room {
	x := math.Mod(hour/HoursPerYear*12-0.5, 12)
	if x < 0 {
		x += 12
	}
	i := int(x) % 12
	f := x - math.Floor(x)
	a, b := y[i], y[(i+1)%12]
	return Room{Humidity: a.Humidity + f*(b.Humidity-a.Humidity), Temperature: a.Temperature + f*(b.Temperature-a.Temperature)}
}

// Face is the surrounding of one face of the board during a phase. Room is the
// air there; for a wet or sealed face only its temperature counts. When Year is
// set it takes the place of Room, and Start is the hour of the year at which
// the phase begins.
type Face struct {
	Kind  FaceKind
	Room  Room
	Year  *Year
	Start float64
	// Supply is the liquid water on a wet face, kg/m²; 0 is as much as the wood
	// takes. When it is gone the face meets the air, or lies on the counter as on a
	// dry one.
	Supply float64
	// Beside is the air that the face meets outside a patch of it; nil where a patch makes
	// no difference, or water alone does.
	Beside *Room
}

// Phase is a stretch of time with one kind of surrounding on each face.
type Phase struct {
	Name        string
	Hours       float64
	Top, Bottom Face
	Ends        *Face // what the ends and sides meet; nil: what follows from the faces, see atEnds
}

// at is the air at the face some hours into the phase, and how fast its
// humidity changes [1/h, as a fraction].
func (f Face) at(hours float64) (r Room, slope float64) {
	if f.Year == nil {
		return f.Room, 0
	}
	const dt = 1.0 // h; the course is linear but at the middles of the months
	r = f.Year.At(f.Start + hours)
	return r, (f.Year.At(f.Start+hours+dt).Humidity - r.Humidity) / 100 / dt
}

// Air is the air at the face some hours into the phase; false where something
// else meets it.
func (f Face) Air(hours float64) (Room, bool) {
	r, _ := f.at(hours)
	return r, f.Kind == Air
}

// nextCorner is the next hour after the given one at which the line of the air on
// either face may turn a corner, the middle of a month; infinite without a Year.
func (p Phase) nextCorner(hours float64) float64 {
	next := math.Inf(1)
	for _, f := range []Face{p.Top, p.Bottom} {
		if f.Year == nil {
			continue
		}
		month := (f.Start+hours)/hoursPerMonth - 0.5
		at := (math.Floor(month+1e-9)+1.5)*hoursPerMonth - f.Start // 1e-9: standing at a corner means the one after
		next = min(next, at)
	}
	return next
}

// faults lists what is wrong with a face.
func (f Face) faults(pointer string) fault.List {
	var l fault.List
	switch f.Kind {
	case Air, Water, Sealed, OnWetCounter, OnDryCounter:
	default:
		l = append(l, fault.Fault{Rule: fault.NotOneOf, Pointer: pointer + "/kind", Detail: "unknown kind of face", Found: string(f.Kind),
			Allowed: fmt.Sprintf("%s, %s, %s, %s, %s", Air, Water, Sealed, OnWetCounter, OnDryCounter)})
	}
	if !(f.Supply >= 0) || math.IsInf(f.Supply, 1) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: pointer + "/supply", Detail: "water on a face is outside its range",
			Found: fmt.Sprintf("%g kg/m²", f.Supply), Allowed: "0 and up"})
	}
	if f.Year == nil {
		return append(l, f.Room.Faults(pointer+"/room")...)
	}
	for i, r := range f.Year {
		l = append(l, r.Faults(fmt.Sprintf("%s/months/%d", pointer, i))...)
	}
	return l
}

// exchange is the law of one face at one time: the flow out of the wood is
// g·(h − air), h being the humidity in balance with the wood's outermost layer.
type exchange struct {
	tight       bool    // nothing passes
	temperature float64 // °C
	g           float64 // % mm/h per unit of humidity
	air         float64 // humidity outside, 0 to 1
	slope       float64 // change of air, 1/h
}

// wetResistance stands for "none" between wood and water, s/m. It is 1/40 000
// of the air film and far below the resistance of any outermost cell.
const wetResistance = 0.01

// exchangeAt works out the law of a face for a step of h hours that begins some
// hours into the phase. density is the oven-dry mass in a volume of wood
// [kg/m³], film the resistance of the finish [s/m].
func (f Face) exchangeAt(hours, h, density, film float64) exchange {
	r, slope := f.at(hours)
	if f.Year != nil {
		r.Temperature = f.Year.At(f.Start + hours + h/2).Temperature
	}
	e := exchange{temperature: r.Temperature}
	var resistance float64
	switch f.Kind {
	case Sealed, OnDryCounter:
		e.tight = true
		return e
	case Water, OnWetCounter:
		e.air, resistance = 1, wetResistance+film
	default:
		e.air, e.slope, resistance = r.Humidity/100, slope, airFilm()+film
	}
	// kg/(m² s) of vapour, as % MC times metres a second, then mm an hour
	e.g = saturationDensity(r.Temperature) / resistance * 100 / density * mmPerHour
	return e
}

// balance finds the humidity h at the face, given the potential theta1 of the
// outermost cell, the distance delta [mm] from its middle to the face and the
// potential table, so that the flow through the half cell equals the flow
// through the film. It returns the flow out of the wood [% mm/h], its
// derivatives to the moisture of the cell (d1 is the diffusivity there) and to
// the humidity outside, and the moisture at the face.
func (e exchange) balance(p *bounded, theta1, d1, delta, guess float64) (flow, dCell, dAir, h, face float64) {
	if e.tight {
		return 0, 0, 0, guess, math.NaN()
	}
	if full, _ := p.at(p.saturation); e.air >= 1 && theta1 >= full {
		return 0, 0, 0, 1, p.saturation // water against water
	}
	lo, hi := 0.0, 1.12 // a wet cell that is warmed may stand above saturation; the formula ends near 1.2
	h = guess
	var df, slope float64
	for range 60 {
		face, slope = equilibriumSlope(e.temperature, h)
		var theta float64
		theta, df = p.at(face)
		miss := e.g*(h-e.air) - (theta1-theta)/delta
		if miss > 0 {
			hi = h
		} else {
			lo = h
		}
		step := miss / (e.g + df*slope/delta)
		next := h - step
		if !(next > lo && next < hi) {
			next = lo + (hi-lo)/2
		}
		if math.Abs(next-h) < 1e-14 {
			h = next
			break
		}
		h = next
	}
	face, slope = equilibriumSlope(e.temperature, h)
	_, df = p.at(face)
	inner := df * slope / delta // conductance of the half cell in terms of humidity
	flow = e.g * (h - e.air)
	dCell = e.g / (e.g + inner) * d1 / delta
	dAir = -e.g * inner / (e.g + inner)
	return flow, dCell, dAir, h, face
}
