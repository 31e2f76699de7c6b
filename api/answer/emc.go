package answer

import (
	"github.com/tanrad/tanrad/pkg/moisture"
)

// EMCQuery asks for the moisture of wood in some air, or for the humidity that
// goes with a moisture. Temperature in °C, Humidity in %, Moisture in % MC.
type EMCQuery struct {
	Temperature *float64 `json:"temperature" validate:"required,gte=-1.1,lte=98.9"`
	Humidity    *float64 `json:"humidity" validate:"required_without=Moisture,omitempty,gte=0,lte=98"`
	Moisture    *float64 `json:"moisture" validate:"excluded_with=Humidity,omitempty,gte=0,lte=30"`
}

// EMC is wood in balance with air.
type EMC struct {
	Temperature float64 `json:"temperature"` // °C
	Humidity    float64 `json:"humidity"`    // %
	Moisture    float64 `json:"moisture"`    // % MC
	Note        string  `json:"note"`
	Source      string  `json:"source"`
}

// AskEMC answers an EMCQuery. The error is a fault.List.
func AskEMC(q EMCQuery) (EMC, error) {
	if faults := validate(q); len(faults) > 0 {
		return EMC{}, faults
	}
	a := EMC{
		Temperature: *q.Temperature,
		Note:        "one curve for all woods, between uptake and drying; wood that came up from dry sits lower, from wet higher",
		Source:      "Wood Handbook, FPL-GTR-190 (2010), Equation 4-5",
	}
	var err error
	if q.Humidity != nil {
		a.Humidity = *q.Humidity
		a.Moisture, err = moisture.EMC(a.Temperature, a.Humidity)
		return a, err
	}
	a.Moisture = *q.Moisture
	a.Humidity, err = moisture.Humidity(a.Temperature, a.Moisture)
	return a, renamed(err, "/mc", "/moisture")
}
