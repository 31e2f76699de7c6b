package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/fault"
)

// ShapeQuery says of which moment a board's shape is wanted.
type ShapeQuery struct {
	State string   `json:"state" validate:"max=60"`                    // an end state or an exposure; "" is the driest month
	Hour  *float64 `json:"hour" validate:"omitempty,gte=0,lte=200000"` // h into the exposure
}

// defaultState is the moment of a shape when none is named.
const defaultState = "driest-month"

// AskShape reads a board file and asks how the board lies at one moment, beside
// its pieces unglued. Errors are those of Board, and Parameters for a moment that
// the check does not have.
func AskShape(src []byte, q BoardQuery, p ShapeQuery, m *Memory) (*Question, error) {
	if err := append(validate(&p), q.check()...).Err(); err != nil {
		return nil, Parameters{err}
	}
	f, b, cond, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	cond.NoCracks, cond.NoChance = true, true // no shape shows them
	name, hour := p.State, 0.0
	if name == "" {
		name = defaultState
	}
	if p.Hour != nil {
		hour = *p.Hour
	}
	return &Question{quick(b, cond), func(ctx context.Context) (any, error) {
		drawn, err := cond.Draw(ctx, f, b)
		if err != nil {
			return nil, sorted(err)
		}
		model, err := m.prepare(ctx, drawn.Typical.Board, cond)
		if err != nil {
			return nil, sorted(err)
		}
		shape, err := model.Shape(ctx, cond, name, hour)
		for _, f := range fault.Of(err) {
			if f.Pointer == "/state" {
				return nil, parameter(err)
			}
		}
		return some(shape, sorted(err))
	}}, nil
}
