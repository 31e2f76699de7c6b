package check

import (
	"context"

	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// deriveBeside opens the numbers that stand beside the ways to fail. Errors: those of the
// solver.
func (m reporter) deriveBeside(ctx context.Context, j *influence.Judged, what, word string) (*derive.Derivation, error) {
	f := derive.Figure{Of: word}
	switch what {
	case WhyCrushing:
		return derive.Crushing(m.Model, j, f)
	case WhyResponses:
		return derive.Responses(ctx, m.Model, f)
	case WhyStages:
		return derive.Stages(m.Model, j, f)
	case WhyAtOnce:
		return derive.AtOnce(ctx, m.Model, j, f)
	case WhyCauses:
		return m.deriveCauses(ctx, j, f)
	}
	if j.History >= 0 {
		h := j.Histories[j.History]
		f.State = h.LoadHistory.ID()
		return derive.ElasticFollowed(m.Model, j, h, f)
	}
	if j.Settled >= 0 {
		f.State = j.States[j.Settled].Name
		return derive.ElasticSettled(m.Model, j, f)
	}
	return derive.Nothing(f, "Nothing stresses this board."), nil
}

// deriveCauses opens the shares that the report lists.
func (m reporter) deriveCauses(ctx context.Context, j *influence.Judged, f derive.Figure) (*derive.Derivation, error) {
	g := &j.Worst
	if g.Joint < 0 || g.Load == nil {
		return derive.Nothing(f, "No glue line gives the word of the board."), nil
	}
	in, err := m.InfluenceOf(ctx, g.Joint, g.D, g.Load)
	if err != nil {
		return nil, err
	}
	total := 0.0
	for _, v := range m.PieceShares(in, g.Load) {
		total += v
	}
	var list []derive.Cause
	for _, c := range m.causes(in, g.Load) {
		list = append(list, derive.Cause{Kind: c.Kind, Name: c.Name, Share: c.Share})
	}
	return derive.Causes(m.Model, j, total, list, f)
}
