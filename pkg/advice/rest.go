package advice

import (
	"context"

	"github.com/tanrad/tanrad/pkg/arrange"
)

// rests proposes other waits between glue-ups, and to glue in another order.
func (a *adviser) rests(ctx context.Context) []proposal {
	list, err := arrange.Rests(ctx, a.f, a.cond, a.glued)
	if err != nil {
		a.skip("another wait between glue-ups", err)
	}
	var out []proposal
	for _, r := range list {
		p := proposal{name: r.Name, effort: 1, text: workText(&arrange.Result{Steps: r.Steps}), file: r.File, cost: Cost{Text: "the wait"}}
		if r.Name == arrange.GlueOrder {
			p.cost.Text = "another order of work"
		}
		if r.Steps[0].Kind == arrange.GlueOrder {
			p.note = "The corners of the border look otherwise: what is glued on last runs through."
		}
		out = append(out, p)
	}
	return out
}
