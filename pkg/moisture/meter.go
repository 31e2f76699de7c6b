package moisture

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

// resistance is a row of data/meter_resistance.csv: megohms along the grain at
// whole moistures from meterFrom upwards, falling.
type resistance struct {
	woods  []string
	megohm []float64
}

const (
	meterFrom  = 7  // % MC of the first column
	meterUntil = 16 // % MC of the last
	meterScale = "douglas-fir"
)

var resistances = sync.OnceValue(func() map[string]resistance {
	out := map[string]resistance{}
	for _, r := range data.Table("meter_resistance.csv") {
		row := resistance{woods: strings.Fields(r.Get("applies"))}
		for mc := meterFrom; mc <= meterUntil; mc++ {
			row.megohm = append(row.megohm, r.Number("mc"+strconv.Itoa(mc)))
		}
		out[r.Get("wood")] = row
	}
	return out
})

// MeterReading tells what a resistance meter with the usual scale, made for
// Douglas-fir, shows on wood of a moisture [% MC, 7 to 16]: the moisture at which
// Douglas-fir resists as much. Between whole moistures the logarithm of the resistance
// runs in a straight line (James, Electric moisture meters for wood, FPL-GTR-6: table of
// resistances, recalled). ok is false for a wood that the table does not hold, and
// for moistures beyond it.
func MeterReading(s *wood.Species, mc float64) (reading float64, ok bool) {
	if s == nil || !(mc >= meterFrom && mc <= meterUntil) {
		return 0, false
	}
	for _, row := range resistances() {
		if slices.Contains(row.woods, s.ID) {
			return resistances()[meterScale].moisture(row.log(mc)), true
		}
	}
	return 0, false
}

// log is the logarithm of the resistance at a moisture within the table.
func (r resistance) log(mc float64) float64 {
	i := min(int(mc)-meterFrom, len(r.megohm)-2)
	f := mc - float64(meterFrom+i)
	return (1-f)*math.Log(r.megohm[i]) + f*math.Log(r.megohm[i+1])
}

// moisture is the inverse of log; past the ends the last stretch goes on straight.
func (r resistance) moisture(log float64) float64 {
	i := 0
	for i < len(r.megohm)-2 && log < math.Log(r.megohm[i+1]) {
		i++
	}
	a, b := math.Log(r.megohm[i]), math.Log(r.megohm[i+1])
	return float64(meterFrom+i) + (a-log)/(a-b)
}
