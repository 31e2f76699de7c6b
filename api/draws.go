package api

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
)

// scatter is what draws put at random at places of the board file, at all of them the
// same: normal about a mean, or even between two bounds.
type scatter struct {
	At   []string `json:"at"`
	Mean *float64 `json:"mean,omitempty"`
	SD   *float64 `json:"sd,omitempty"`
	From *float64 `json:"from,omitempty"`
	To   *float64 `json:"to,omitempty"`
}

// mostDeviations is where a normal scatter is cut off: a meter that reads 8 per cent
// does not stand for wet wood, however often it is asked.
const mostDeviations = 3

// random tells whether an axis is one of draws.
func (a *axis) random() bool { return a.Draws != 0 || len(a.Scatter) > 0 || a.Seed != 0 }

// drawn gives what one draw puts at the places of every scatter, and the seed of its
// rings that nobody has looked at. Equal seeds give equal draws, and a draw does not hang
// on how many there are.
func (a *axis) drawn(draw int) (values []json.Number, rings uint64) {
	rng := rand.New(rand.NewPCG(a.Seed, uint64(draw)))
	rings = max(1, rng.Uint64())
	for _, s := range a.Scatter {
		var x float64
		if s.From != nil {
			x = *s.From + (*s.To-*s.From)*rng.Float64()
		} else {
			z := rng.NormFloat64()
			for math.Abs(z) > mostDeviations {
				z = rng.NormFloat64()
			}
			x = *s.Mean + *s.SD*z
		}
		values = append(values, json.Number(strconv.FormatFloat(x, 'g', 6, 64)))
	}
	return values, rings
}

// drawFaults lists those of an axis of draws that stands at a place.
func (j *jobSpec) drawFaults(a *axis, at string) (l fault.List) {
	bad := func(rule fault.Rule, pointer, detail, found, allowed string) {
		l = append(l, fault.Fault{Rule: rule, Pointer: at + pointer, Detail: detail, Found: found, Allowed: allowed})
	}
	if len(a.Scatter) == 0 && !slices.ContainsFunc(append(j.Boards, j.Board), func(b json.RawMessage) bool { return answer.RingsUnknown(b) }) {
		bad(fault.MissingKey, "/scatter", "nothing is drawn: all rings are known, and no scatter is told", "", "scatter, or rings that are \"unknown\"")
	}
	if a.Draws < 1 || a.Draws > mostVariants {
		bad(fault.OutOfRange, "/draws", "boards to draw", itoa(a.Draws), "1 to "+itoa(mostVariants))
	}
	if len(a.At) > 0 || a.Parameter != "" || len(a.Values) > 0 {
		bad(fault.NotAllowed, "", "an axis of draws has no values", "", "draws, seed and scatter")
	}
	for k := range a.Scatter {
		s, place := &a.Scatter[k], "/scatter/"+itoa(k)
		normal, even := s.Mean != nil && s.SD != nil, s.From != nil && s.To != nil
		switch {
		case len(s.At) == 0:
			bad(fault.MissingKey, place+"/at", "the key is missing", "", "places of the board, as /stock/M/moisture")
		case normal == even || (s.Mean != nil) != (s.SD != nil) || (s.From != nil) != (s.To != nil):
			bad(fault.MissingKey, place, "a scatter is normal or even", "", "mean and sd, or from and to")
		case normal && *s.SD < 0:
			bad(fault.OutOfRange, place+"/sd", "the standard deviation is negative", strconv.FormatFloat(*s.SD, 'g', 6, 64), "0 or more")
		case even && *s.To < *s.From:
			bad(fault.OutOfRange, place+"/to", "the upper bound lies below the lower one", strconv.FormatFloat(*s.To, 'g', 6, 64), "from or more")
		}
	}
	return l
}
