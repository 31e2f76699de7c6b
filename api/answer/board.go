package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/wood"
)

// BoardQuery says what to check a board against, beyond what its file says.
type BoardQuery struct {
	Home      string   `json:"home" validate:"max=60"`                         // named climate; "" is the board's own
	Moisture  *float64 `json:"moisture" validate:"omitempty,gte=0,lte=30"`     // a further end state, % MC of every piece
	Shift     *float64 `json:"shift" validate:"omitempty,gte=-30,lte=30"`      // a further end state, change of % MC from glue-up
	Exposures string   `json:"exposures" validate:"omitempty,oneof=none file"` // "none" leaves histories out; "" and "file" take those of the file
	Series    int      `json:"series" validate:"gte=0,lte=400"`                // most points of each time series
	Refine    int      `json:"refine" validate:"gte=0,lte=2"`                  // halvings of every element
}

// Memory keeps parts of solved boards between questions, for a design program
// asks about boards that differ in a piece or two. It may be shared; the answer
// does not depend on it. Nil remembers nothing.
type Memory struct{ start check.Conditions } // what every check starts from

// NewMemory makes a memory of at most the given size [bytes].
func NewMemory(bytes int64) *Memory {
	m := &Memory{}
	fresh(&m.start.Cache)
	fresh(&m.start.BendCache)
	m.start.Cache.MaxBytes, m.start.BendCache.MaxBytes = bytes/2, bytes/2
	return m
}

func fresh[T any](p **T) { *p = new(T) }

// Board answers a board file. The error is a fault.List, or that of the context.
func Board(ctx context.Context, src []byte, q BoardQuery, m *Memory) (*layout.Board, *check.Report, error) {
	if faults := validate(q); len(faults) > 0 {
		return nil, nil, Parameters{faults}
	}
	if q.Home != "" {
		if _, err := moisture.FindClimate(q.Home); err != nil {
			return nil, nil, Parameters{at(err, "/home")}
		}
	}
	b, err := layout.Read(src)
	if err != nil {
		return nil, nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	var cond check.Conditions
	if m != nil {
		cond = m.start
	}
	cond.Home, cond.Series, cond.Refine = q.Home, q.Series, q.Refine
	if q.Moisture != nil {
		cond.Moistures = []float64{*q.Moisture}
	}
	if q.Shift != nil {
		cond.Shifts = []float64{*q.Shift}
	}
	if q.Exposures == "none" {
		cond.Exposures = []string{"none"}
	}
	report, err := check.Board(ctx, b, cond)
	if err != nil {
		return nil, nil, err
	}
	if len(report.Safety) == 0 {
		report.Safety = cautions(b)
	}
	fillLists(report)
	return b, report, nil
}

// fillLists turns lists that are missing into empty ones: a reader of JSON
// should not have to ask for null.
func fillLists(r *check.Report) {
	if r.States == nil {
		r.States = []check.State{}
	}
	if r.Joints == nil {
		r.Joints = []check.Joint{}
	}
	if r.Notes.Estimated == nil {
		r.Notes.Estimated = []check.Input{}
	}
	if r.Notes.Assumptions == nil {
		r.Notes.Assumptions = []string{}
	}
	if r.Notes.NotModelled == nil {
		r.Notes.NotModelled = []string{}
	}
}

// Parameters are faults of query parameters or flags, not of the body.
type Parameters struct{ error }

// Unwrap gives the faults.
func (p Parameters) Unwrap() error { return p.error }

// cautions gives the reminders that go with the woods of a board.
func cautions(b *layout.Board) []check.Caution {
	var woods []*wood.Species
	for _, p := range b.Pieces {
		if s, err := wood.Find(p.Species); err == nil {
			woods = append(woods, s)
		}
	}
	var out []check.Caution
	for _, c := range safety.For(woods...) {
		out = append(out, check.Caution{Topic: c.Topic, Text: c.Text, Source: c.Source})
	}
	return out
}
