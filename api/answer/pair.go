package answer

import (
	"context"

	"github.com/tanrad/tanrad/pkg/pair"
)

// Pair answers a pair body. The error is a fault.List.
func Pair(ctx context.Context, src []byte) (*pair.Result, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	return pair.Pair(ctx, q)
}
