package risk

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/reliability"
)

// counted is a Monte Carlo count with the same variables.
type counted struct {
	Samples, Joints   int     // joints: the worst, that were followed
	Worst, WorstError float64 // of the likeliest joint, with its standard error
	Board, BoardError float64 // of any of the joints
}

// sample counts failures with the same variables in a Monte Carlo run: every
// sample has its own stiffness, climate, woods and pieces, and strengths of every
// joint. The tractions are exact for it, by influence; what is held is the
// window and the moment of each joint, and the board's stiffness pattern.
func (m Board) sample(ctx context.Context, o Options, s *scatter, order []influence.Moment, worst int) (*counted, error) {
	found, err := m.limits(s, order[:min(mostSampled, len(order))])
	if err != nil {
		return nil, err
	}
	of := 0
	for i, l := range found {
		if l.joint == worst {
			of = i
		}
	}
	n := len(s.vars)
	counts, err := reliability.Sample(ctx, n+own*len(found), len(found), reliability.SampleOptions{Samples: o.Samples, Seed: o.Seed, Workers: o.Workers, Progress: func(done, total int) {
		if o.Progress != nil {
			o.Progress(done, total, "samples")
		}
	}}, func() reliability.Trial {
		vars := append([]reliability.Variable{}, s.vars...)
		for _, l := range found {
			vars = append(vars, l.own...)
		}
		draw := reliability.Drawer(vars)
		x, units := make([]float64, len(vars)), make([]strain, len(s.wood))
		return func(u []float64, fails []bool) {
			draw(u, x)
			for i := range units {
				s.strainOf(i, x, false, &units[i])
			}
			for j, l := range found {
				f := l.tractions(units, x)
				u, _ := l.utilisation(f[0], f[1], x[varStiffness], x[n+own*j], x[n+own*j+1])
				fails[j] = u >= 1
			}
		}
	})
	if err != nil {
		return nil, err
	}
	out := &counted{Samples: counts.Samples, Joints: len(found)}
	out.Worst, out.WorstError = reliability.Share(counts.Fails[of], counts.Samples)
	out.Board, out.BoardError = reliability.Share(counts.Any, counts.Samples)
	return out, nil
}
