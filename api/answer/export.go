package answer

import (
	"bytes"
	"context"
	"fmt"

	"github.com/tanrad/tanrad/pkg/deck"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
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
	return answered[[]byte](ctx)(AskExport(src, q, m))
}

// AskExport reads a board file for Export.
func AskExport(src []byte, q ExportQuery, m *Memory) (*Question, error) {
	if faults := q.check(); len(faults) > 0 {
		return nil, Parameters{faults}
	}
	f, b, err := layout.Open(src, layout.Limits{})
	if err != nil {
		return nil, err
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		drawn, err := m.conditions().Draw(ctx, f, b)
		if err != nil {
			return nil, sorted(err)
		}
		return q.export(ctx, drawn.Typical.Board, m)
	}}, nil
}

func (q *ExportQuery) export(ctx context.Context, b *layout.Board, m *Memory) (any, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	cond := m.conditions()
	cond.Refine, cond.NoHistories = q.Refine, true
	model, err := deck.Prepare(ctx, b, cond)
	if err != nil {
		return nil, sorted(err)
	}
	out := file{ctx: ctx}
	if m != nil {
		out.most = m.file
	}
	if q.Format == "mtx" {
		bending := q.System == "bending"
		if err := out.room(deck.MatrixBytes(model.Plate, bending)); err != nil {
			return nil, err
		}
		err = deck.WriteMatrix(&out, model.Plate, bending)
		return out.text.Bytes(), err
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
	return out.text.Bytes(), err
}

// file is a text that ends with its context and does not grow past a bound.
type file struct {
	ctx  context.Context
	most int64 // bytes; 0 is any number
	text bytes.Buffer
}

// room gives the fault of a text that would be too long, nil when it fits.
func (f *file) room(bytes int64) error {
	if f.most <= 0 || bytes <= f.most {
		return nil
	}
	return fault.List{{Rule: fault.TooLarge, Pointer: "/field", Detail: "the file would be too long", Found: fmt.Sprintf("about %d MB", bytes>>20),
		Allowed: fmt.Sprintf("%d MB", f.most>>20), Fix: "export a part of the board, or write it with the command, which has no such bound"}}
}

func (f *file) Write(p []byte) (int, error) {
	if err := f.ctx.Err(); err != nil {
		return 0, err
	}
	if err := f.room(int64(f.text.Len() + len(p))); err != nil {
		return 0, err
	}
	return f.text.Write(p)
}
