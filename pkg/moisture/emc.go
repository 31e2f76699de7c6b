package moisture

import (
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Limits of the equilibrium formula. The temperatures are those the published
// table is printed for (Wood Handbook, Table 4-2: 30 to 210 °F); the humidity
// ends where the table's authors stop short of saturation.
const (
	MinTemperature = -1.1 // °C
	MaxTemperature = 98.9 // °C
	MaxHumidity    = 98.0 // % RH
)

// Room is a state of air: relative humidity in %, temperature in °C.
type Room struct {
	Humidity    float64 `json:"humidity"`
	Temperature float64 `json:"temperature"`
}

// EMC returns the equilibrium moisture content [% MC] of wood in air of the
// given temperature [°C] and relative humidity [%].
//
// Source: Wood Handbook, FPL-GTR-190 (2010), Eq. 4-5, Celsius coefficients
// (Simpson 1998, FPL-RN-0268). It meets all 209 cells of Table 4-2 that are
// held here within 0.05 % MC. Allowed are −1.1 to 98.9 °C and 0 to 98 % RH;
// outside, or for a number that is not finite, the error is a fault.List.
func EMC(temperature, humidity float64) (float64, error) {
	return Room{Humidity: humidity, Temperature: temperature}.EMC()
}

// EMC returns the equilibrium moisture content [% MC] in the room; see the
// function EMC for source, limits and errors.
func (r Room) EMC() (float64, error) {
	if f := r.Faults(""); len(f) > 0 {
		return 0, f
	}
	return equilibrium(r.Temperature, r.Humidity), nil
}

// Faults lists what is wrong with a room, with pointers below the one given.
func (r Room) Faults(pointer string) fault.List {
	var l fault.List
	l = append(l, fault.Range(pointer+"/humidity", "relative humidity", r.Humidity, 0, MaxHumidity, "%")...)
	return append(l, fault.Range(pointer+"/temperature", "temperature", r.Temperature, MinTemperature, MaxTemperature, "°C")...)
}

// equilibrium is Eq. 4-5 without its limits: % MC from °C and % RH.
func equilibrium(t, rh float64) float64 {
	m, _ := equilibriumSlope(t, rh/100)
	return m
}

// equilibriumSlope is Eq. 4-5 and its derivative to h: % MC, and % MC per unit
// of humidity, at a temperature [°C] and a humidity h as a fraction.
func equilibriumSlope(t, h float64) (m, slope float64) {
	// coefficients of the two-hydrate sorption theory, Celsius set
	w := 349 + t*(1.29+t*0.0135)
	k := 0.805 + t*(0.000736-t*0.00000273)
	k1 := 6.27 - t*(0.00938+t*0.000303)
	k2 := 1.91 + t*(0.0407-t*0.000293)
	kh := k * h
	a, b := k1*kh, k1*k2*kh*kh
	q, dry := 1+a+b, 1-kh
	m = 1800 / w * (kh/dry + (a+2*b)/q) // Eq. 4-5
	// quotient rule on both parts, times k for the inner derivative
	slope = 1800 / w * k * (1/(dry*dry) + (k1*(1+4*k2*kh)*q-(a+2*b)*k1*(1+2*k2*kh))/(q*q))
	return m, slope
}

// Humidity returns the relative humidity [%] with which wood of the given
// moisture content [% MC] is in equilibrium at the temperature [°C]: the
// inverse of EMC, by a bracketed search to 1e-10 % RH.
//
// Allowed are −1.1 to 98.9 °C and 0 % MC up to the equilibrium at 98 % RH
// (about 26 % MC at 20 °C); the error is a fault.List that states them.
func Humidity(temperature, mc float64) (float64, error) {
	l := fault.Range("/temperature", "temperature", temperature, MinTemperature, MaxTemperature, "°C")
	if len(l) > 0 {
		return 0, l
	}
	if l = append(l, fault.Range("/mc", "moisture content", mc, 0, equilibrium(temperature, MaxHumidity), "% MC")...); len(l) > 0 {
		return 0, l
	}
	return bisectRising(func(rh float64) float64 { return equilibrium(temperature, rh) - mc }, 0, MaxHumidity, 1e-10), nil
}

// bisectRising finds the root of a rising function between lo and hi to within
// tol by the Illinois form of false position, which keeps its bracket. The ends
// must bracket the root.
func bisectRising(f func(float64) float64, lo, hi, tol float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo >= 0 {
		return lo
	}
	if fhi <= 0 {
		return hi
	}
	side := 0
	for range 200 {
		mid := (lo*fhi - hi*flo) / (fhi - flo)
		if !(mid > lo && mid < hi) {
			mid = lo + (hi-lo)/2
		}
		fm := f(mid)
		switch {
		case fm == 0:
			return mid
		case fm < 0:
			if lo, flo = mid, fm; side == -1 {
				fhi /= 2 // the upper end has not moved twice: weigh it down
			}
			side = -1
		default:
			if hi, fhi = mid, fm; side == 1 {
				flo /= 2
			}
			side = 1
		}
		if hi-lo < tol || math.Abs(fm) < 1e-13 {
			return mid
		}
	}
	return lo + (hi-lo)/2
}
