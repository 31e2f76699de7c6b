package teach

import (
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/source"
)

// SaltAir is the air in a closed box over a wet heap of a salt.
type SaltAir struct {
	Salt        string  `json:"salt"`
	Humidity    float64 `json:"humidity"`    // %
	Spread      float64 `json:"spread"`      // %, either way
	Temperature float64 `json:"temperature"` // °C
	Moisture    float64 `json:"moisture"`    // % MC that wood settles at there
	Text        string  `json:"text"`
	Source      string  `json:"source"`
	Status      string  `json:"status"`
}

// classroom is the temperature of an experiment, °C.
const classroom = 20

const absoluteZero = -273.15 // °C

// Salts gives the air over every salt of the table, by key, in a room of 20 °C.
var Salts = sync.OnceValues(func() (map[string]SaltAir, error) {
	rows, err := data.Read(data.Files, "salts.csv", "key", "name", "a_pct", "b_k", "low_c", "high_c", "spread_pct", "text", "source", "status")
	if err != nil {
		return nil, err
	}
	out := map[string]SaltAir{}
	for _, r := range rows {
		v := map[string]float64{}
		for _, column := range []string{"a_pct", "b_k", "low_c", "high_c", "spread_pct"} {
			if v[column], err = r.Float(column); err != nil {
				return nil, err
			}
		}
		if classroom < v["low_c"] || classroom > v["high_c"] {
			return nil, r.Errorf("not known at %d °C", classroom)
		}
		s := SaltAir{Salt: r.Get("name"), Spread: v["spread_pct"], Temperature: classroom, Text: r.Get("text"),
			Source: source.Text(r.Get("source")), Status: r.Get("status")}
		// RH = A·exp(B/T), T in K: the form of the table that source names.
		s.Humidity = v["a_pct"] * math.Exp(v["b_k"]/(classroom-absoluteZero))
		if s.Moisture, err = (moisture.Room{Humidity: s.Humidity, Temperature: classroom}).EMC(); err != nil {
			return nil, err
		}
		out[r.Get("key")] = s
	}
	return out, nil
})
