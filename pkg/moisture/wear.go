package moisture

import (
	"encoding/json"
	"math"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Renewal is how often a finish is renewed. The zero value is a finish that is kept as
// good as new.
type Renewal struct {
	Months float64 // between two coats; 0 is not told
	Never  bool    // not at all: it is worn off
}

// MarshalJSON writes months or "never".
func (r Renewal) MarshalJSON() ([]byte, error) {
	if r.Never {
		return json.Marshal(never)
	}
	return json.Marshal(r.Months)
}

// never is the word for a finish that nobody renews.
const never = "never"

// Bounds of a renewal, months.
const (
	LeastRenewal = 0.25
	MostRenewal  = 120.0
)

// lives are the months in which a finish that is in use loses all but 1/e, by what it is
// to liquid water (data/finish_wear.csv).
var lives = sync.OnceValue(func() map[string]float64 {
	m := map[string]float64{}
	for _, r := range data.Table("finish_wear.csv") {
		m[r.Get("liquid")] = r.Number("months")
	}
	return m
})

// Life is how long it takes until a share of 1/e of a finish in use is left, in months; 0
// of bare wood.
func (f Finish) Life() float64 { return lives()[f.Liquid] }

// Left is the part of a finish that is there, as a mean between two renewals n months
// apart: (1 − e^(−n/L))·L/n, L being its life. No law of wear was found printed; that of
// a fixed share lost in every month is the simplest that ends in bare wood.
func (f Finish) Left(r Renewal) float64 {
	l := f.Life()
	switch {
	case r.Never:
		return 0
	case r.Months == 0 || l == 0:
		return 1
	}
	return -math.Expm1(-r.Months/l) * l / r.Months
}
