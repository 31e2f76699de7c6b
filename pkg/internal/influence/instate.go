package influence

import "context"

// JointsIn gives the utilisation of every joint, dimensionless, in one end state
// alone: what a check of that state says of them. The error is that of ctx.
func (m *Model) JointsIn(ctx context.Context, e EndState) ([]float64, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	v := m.judge(e)
	out := make([]float64, len(v.joints))
	for j := range out {
		out[j] = v.joints[j].U
	}
	return out, nil
}
