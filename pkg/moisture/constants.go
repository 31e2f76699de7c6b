package moisture

import (
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// constants of data/diffusion.csv by key.
var constants = sync.OnceValue(func() map[string]float64 { return data.Figures("diffusion.csv") })

// airFilm is the resistance of still room air at a face to water vapour, s/m:
// the convective coefficient for heat turned into one for vapour by Lewis'
// relation, β = h_c / (ρ c_p) · Le^(−2/3). About 400 s/m.
var airFilm = sync.OnceValue(func() float64 {
	c := constants()
	return c["air-density-heat"] / c["air-film-heat"] * math.Pow(c["lewis-number"], 2.0/3)
})

// AlongRatio is the measured ratio of the diffusivity along the fibres to that
// across them at 10 % MC for a class of wood ("hardwood" or "softwood").
func AlongRatio(class string) float64 {
	if class == "softwood" {
		return constants()["ratio-along-softwood"]
	}
	return constants()["ratio-along-hardwood"]
}

// SurfaceEmission returns the coefficient S [m/s] of the linear surface law
// flow = S·(M_face − M_air) to which still room air amounts for wood of the
// given oven-dry density [kg/m³] at a temperature [°C] and humidity [%]:
// vapour flow divided by the slope of the equilibrium curve.
func SurfaceEmission(density, temperature, humidity float64) float64 {
	return emission(density, Room{Humidity: humidity, Temperature: temperature}, 0)
}

// emission is SurfaceEmission [m/s] of a face with a film of some resistance [s/m].
func emission(density float64, r Room, film float64) float64 {
	_, slope := equilibriumSlope(r.Temperature, r.Humidity/100)
	return saturationDensity(r.Temperature) / (airFilm() + film) * 100 / slope / density
}
