package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/picture"
)

// Pair answers a pair body. The error is a fault.List.
func Pair(ctx context.Context, src []byte) (*pair.Result, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	return pair.Pair(ctx, q)
}

// AskPair reads a pair body for Pair or, drawn, for its picture as SVG.
func AskPair(src []byte, drawn bool) (*Question, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	return &Question{true, func(ctx context.Context) (any, error) {
		r, err := pair.Pair(ctx, q)
		if err != nil || !drawn {
			return some(r, err)
		}
		svg, err := picture.Pair(r, q.Inches)
		if err != nil {
			return nil, err
		}
		return svg, nil
	}}, nil
}
