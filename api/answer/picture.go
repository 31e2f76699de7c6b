package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/raster"
)

// PictureQuery says which picture of a board is wanted; see picture.Options.
type PictureQuery struct {
	View     string   `json:"view"`
	Exposure string   `json:"exposure" validate:"max=60"`
	State    string   `json:"state" validate:"max=60"`
	Hour     *float64 `json:"hour" validate:"omitempty,gte=0,lte=200000"`
	PNG      bool     `json:"-"`     // as PNG instead of SVG
	Width    int      `json:"width"` // px, of a PNG; 0 is raster.DefaultWidth
}

func (q *PictureQuery) options() picture.Options {
	return picture.Options{View: q.View, Exposure: q.Exposure, State: q.State, Hour: q.Hour}
}

// Draw answers a board file with a picture, as SVG or PNG. Errors are those of Board,
// and Parameters for a view that the board or the check does not have.
func Draw(ctx context.Context, src []byte, q BoardQuery, p PictureQuery, m *Memory) ([]byte, error) {
	return answered[[]byte](ctx)(AskDraw(src, q, p, m))
}

// AskDraw reads a board file for Draw.
func AskDraw(src []byte, q BoardQuery, p PictureQuery, m *Memory) (*Question, error) {
	faults := append(append(validate(&p), p.options().Check()...), q.check()...)
	if p.Width != 0 {
		faults = append(faults, fault.Range("/width", "width of the picture", float64(p.Width), raster.MinWidth, raster.MaxWidth, "px")...)
	}
	if err := faults.Err(); err != nil {
		return nil, Parameters{err}
	}
	f, b, cond, err := readFor(src, q, m)
	if err != nil {
		return nil, err
	}
	plain := cond
	plain.NoCracks, plain.NoChance = true, true // no picture shows them
	return &Question{p.View == picture.ViewSlices || quick(b, plain), func(ctx context.Context) (any, error) {
		drawn, err := cond.Draw(ctx, f, b)
		if err != nil {
			return nil, sorted(err)
		}
		svg, err := picture.Draw(ctx, drawn.Typical.Board, cond, p.options())
		for _, f := range fault.Of(err) {
			switch f.Pointer {
			case "/view", "/exposure", "/state", "/hour":
				return nil, parameter(err)
			}
		}
		if err != nil {
			return nil, sorted(err)
		}
		if p.PNG {
			png, err := raster.PNG(ctx, svg, p.Width)
			return png, parameter(err)
		}
		return svg, nil
	}}, nil
}
