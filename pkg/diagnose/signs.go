package diagnose

import (
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/flatness"
)

// Signs of a failure that is not, or not only, an open place.
const (
	Cupped       = "cupped"
	RocksOnTop   = "rocks"
	EndChecks    = "end-checks"    // glue lines or wood open at the ends of the board
	AfterWashing = "after-washing" // whatever it was washed in
)

// signWords are all of them.
var signWords = []string{Cupped, RocksOnTop, EndChecks, AfterWashing}

// washes are the exposures that wet a board in the kitchen.
var washes = []string{"wash-one-face", "wet-cloth", "flat-on-wet-counter", "sink-soak", "dishwasher"}

// rimsRun is the exposure in which the rim of a board that was glued too damp or too dry
// runs ahead of its middle.
const rimsRun = "first-heating-season"

// way is how near one way of failing comes to its limit in one explanation.
type way struct {
	figure float64 // over its limit
	spread float64 // standard deviation of its logarithm, 0 of a rule
	demand
}

// passes is the chance that a way passes its limit.
func (w *way) passes() float64 {
	switch {
	case w.figure <= 0:
		return 0
	case w.spread == 0 && w.figure >= 1:
		return 1
	case w.spread == 0:
		return 0
	}
	return math.Erfc(-math.Log(w.figure)/w.spread/math.Sqrt2) / 2
}

// ways takes what a report says of flatness, of the ends and of the glue.
func (o *outcome) ways(r *check.Report, s *scene) {
	for i := range r.Modes {
		m := &r.Modes[i]
		if m.Figure == nil {
			continue
		}
		w := way{figure: *m.Figure, spread: m.Deviation()}
		w.u = w.figure
		w.month, w.days = s.when(m.State, m.Hour)
		switch m.Mode {
		case check.OutOfFlat:
			o.flat, o.rocks = w, w
			o.rocks.figure = m.Rocks / flatness.Default().Rocks
			o.rocks.u = o.rocks.figure
		case check.EndOpens:
			o.end, o.endJoint = w, m.Joint
		case check.GlueGives:
			o.glue = w
		}
	}
}

// shaped is the observation of a board that lost its shape and is not said to have
// opened anywhere.
func (o *Observation) shaped() bool {
	return (o.has(Cupped) || o.has(RocksOnTop)) && o.Joint == "" && o.Piece == "" && o.Where == "" && o.depth() == "" && !o.has(EndChecks)
}

func (o *Observation) has(sign string) bool { return slices.Contains(o.Signs, sign) }

// shape is the way by which a board that was seen to lose its shape did.
func (o *outcome) shape(seen *Observation) *way {
	if seen.has(Cupped) {
		return &o.flat
	}
	return &o.rocks
}

// signs is how often the signs that were told are seen under an explanation.
func (o *Observation) signs(of *outcome, event string) float64 {
	f := 1.0
	for _, s := range o.Signs {
		switch s {
		case Cupped:
			f *= math.Max(judged("seen-anyway"), of.flat.passes())
		case RocksOnTop:
			f *= math.Max(judged("seen-anyway"), of.rocks.passes())
		case EndChecks:
			f *= math.Max(judged("seen-anyway"), of.end.passes())
		case AfterWashing:
			told := AfterWashing // none of the exposures
			if slices.Contains(washes, event) {
				told = event
			}
			f *= eventChance(event, told)
		}
	}
	return f
}
