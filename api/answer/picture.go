package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/picture"
)

// PictureQuery says which picture of a board is wanted; see picture.Options.
type PictureQuery struct {
	View     string   `json:"view"`
	Exposure string   `json:"exposure" validate:"max=60"`
	State    string   `json:"state" validate:"max=60"`
	Hour     *float64 `json:"hour" validate:"omitempty,gte=0,lte=200000"`
}

func (q *PictureQuery) options() picture.Options {
	return picture.Options{View: q.View, Exposure: q.Exposure, State: q.State, Hour: q.Hour}
}

// Draw answers a board file with a picture, as SVG. Errors are those of Board,
// and Parameters for a view that the board or the check does not have.
func Draw(ctx context.Context, src []byte, q BoardQuery, p PictureQuery, m *Memory) ([]byte, error) {
	if err := append(append(validate(&p), p.options().Check()...), q.check()...).Err(); err != nil {
		return nil, Parameters{err}
	}
	_, b, c, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	svg, err := picture.Draw(ctx, b, c, p.options())
	for _, f := range fault.Of(err) {
		switch f.Pointer {
		case "/view", "/exposure", "/state", "/hour":
			return nil, parameter(err)
		}
	}
	return svg, err
}
