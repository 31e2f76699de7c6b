package influence

import "context"

// JointsIn gives the utilisation of every joint, dimensionless, in one end state
// alone: what a check of that state says of them. The error is that of ctx.
func (m *Model) JointsIn(ctx context.Context, e EndState) ([]float64, error) {
	all, err := m.judgeEnds(ctx, []EndState{e}, true)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(all.Joints))
	for j := range out {
		out[j] = all.Joints[j].D.U
	}
	return out, nil
}
