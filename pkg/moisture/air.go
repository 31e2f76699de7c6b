package moisture

import "math"

// SaturationPressure returns the saturation vapour pressure over water [Pa] at
// a temperature [°C, −45 to 60], by the Magnus form of the World
// Meteorological Organization (Guide to Instruments, WMO-No. 8, Annex 4.B).
// Below 0 °C it is still the pressure over supercooled water, to which weather
// services refer their relative humidities.
func SaturationPressure(temperature float64) float64 {
	return 611.2 * math.Exp(17.62*temperature/(243.12+temperature))
}

// VapourPressure returns the partial pressure of water vapour [Pa] in the room.
func (r Room) VapourPressure() float64 { return r.Humidity / 100 * SaturationPressure(r.Temperature) }

// Warmed returns the same air, water and all, brought to another temperature
// [°C]: the vapour pressure stays. Air cooled below its dew point gives up
// water and is returned at the dampest that the equilibrium formula holds for.
func (r Room) Warmed(temperature float64) Room {
	rh := 100 * r.VapourPressure() / SaturationPressure(temperature)
	return Room{Humidity: min(rh, MaxHumidity), Temperature: temperature}
}

// saturationDensity is the mass of vapour in saturated air, kg/m³.
func saturationDensity(temperature float64) float64 {
	const gas = 461.5 // J/(kg K), water vapour
	return SaturationPressure(temperature) / (gas * (temperature + zeroCelsius))
}

// NamedRoom is a state of air under a name of the user's.
type NamedRoom struct {
	Name string `json:"name"`
	Room
}
