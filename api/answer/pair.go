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

// DrawPair answers a pair body with its picture, as SVG. Errors: those of Pair.
func DrawPair(ctx context.Context, src []byte) ([]byte, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	r, err := pair.Pair(ctx, q)
	if err != nil {
		return nil, err
	}
	return picture.Pair(r, q.Inches)
}
