package answer

import (
	"bytes"
	"context"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/deck"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// ExportQuery says what of a solved model to write, and under which load.
type ExportQuery struct {
	Format string   `json:"format" validate:"oneof=inp mtx"`                                // inp: CalculiX deck of the membrane; mtx: Matrix Market
	System string   `json:"system" validate:"omitempty,oneof=membrane bending"`             // of mtx; "" is the membrane
	State  string   `json:"state" validate:"omitempty,oneof=driest-month dampest-month"`    // load of inp; "" is the driest month
	Change *float64 `json:"change" validate:"omitempty,excluded_with=State,gte=-30,lte=30"` // instead: change of % MC of every piece
	Home   string   `json:"home" validate:"max=60"`                                         // named climate; "" is the board's own
	Refine int      `json:"refine" validate:"gte=0,lte=2"`                                  // halvings of every element
}

// check lists what is wrong with an export's parameters.
func (q ExportQuery) check() fault.List {
	faults := validate(q)
	if q.Format == "mtx" {
		for _, p := range [3]struct {
			name  string
			given bool
		}{{"state", q.State != ""}, {"change", q.Change != nil}, {"home", q.Home != ""}} {
			if p.given {
				faults = append(faults, fault.Fault{Rule: fault.NotAllowed, Pointer: "/" + p.name, Detail: "a matrix has no load", Allowed: p.name + " with format inp"})
			}
		}
	} else if q.System != "" {
		faults = append(faults, fault.Fault{Rule: fault.NotAllowed, Pointer: "/system", Detail: "the deck is always the membrane", Allowed: "system with format mtx"})
	}
	if q.Home != "" {
		_, err := moisture.FindClimate(q.Home)
		faults = append(faults, place(err, "/home")...)
	}
	return faults
}

// Export writes the model a board file is solved with. The error is a
// fault.List, or that of the context.
func Export(ctx context.Context, src []byte, q ExportQuery, m *Memory) ([]byte, error) {
	if faults := q.check(); len(faults) > 0 {
		return nil, Parameters{faults}
	}
	_, b, err := m.read(src)
	if err != nil {
		return nil, err
	}
	if err := m.tooFine(b, q.Refine).Err(); err != nil {
		return nil, Parameters{err}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var cond check.Conditions
	if m != nil {
		cond = m.start
	}
	cond.Refine, cond.NoHistories = q.Refine, true
	model, err := deck.Prepare(ctx, b, cond)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if q.Format == "mtx" {
		err = deck.WriteMatrix(&out, model.Plate, q.System == "bending")
		return out.Bytes(), err
	}
	var load deck.Case
	if q.Change != nil {
		load, err = deck.Shift(b, *q.Change)
	} else {
		var home *moisture.Climate
		if c, err := moisture.FindClimate(q.Home); err == nil {
			home = &c
		}
		state := q.State
		if state == "" {
			state = deck.States()[0]
		}
		load, err = deck.AtState(model, home, state)
	}
	if err != nil {
		return nil, parameter(err)
	}
	err = deck.Write(&out, model.Plate, load)
	return out.Bytes(), err
}
