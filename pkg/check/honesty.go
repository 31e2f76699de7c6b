package check

import (
	"context"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sensitivity"
)

// honesty says what the answer leans on: the weak inputs by how much they move
// the worst utilisation, what was taken for granted, and what was left out.
func (m reporter) honesty(ctx context.Context, c influence.Conditions, r *Report, j *influence.Judged) (Honesty, error) {
	h := Honesty{Estimated: []Input{}, Assumptions: m.assumptions(c), NotModelled: slices.Clone(notModelled)}
	if r.Worst == nil {
		return h, nil
	}
	found, low, high, err := sensitivity.Inputs(ctx, m.Model, c, j.Joints, j.Worst)
	if err != nil {
		return h, err
	}
	for _, f := range found {
		h.Estimated = append(h.Estimated, Input{What: f.What, Status: string(f.Status), Source: f.Source, Effect: f.Effect})
	}
	h.Low, h.High = low, high
	return h, nil
}
