package check

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/sensitivity"
)

// limitations says what the answer leans on: the weak inputs by how much they move
// the worst utilisation, what was taken for granted, and what was left out.
func (m reporter) limitations(ctx context.Context, c Conditions, r *Report, j *influence.Judged) (Limitations, error) {
	h := Limitations{Estimated: []Input{}, Assumptions: m.assumptions(c), NotModelled: append(beyondSmall(r), notModelled...)}
	if text := m.splitsElsewhere(r, j); text != "" {
		h.Assumptions = append(h.Assumptions, text)
	}
	if r.Worst == nil || c.Joints {
		return h, nil
	}
	found, low, high, err := sensitivity.Inputs(ctx, m.Model, j, c.NoChance)
	if err != nil {
		return h, err
	}
	for _, f := range found {
		h.Estimated = append(h.Estimated, Input{What: f.What, Status: string(f.Status), Source: f.Source, Effect: f.Effect})
	}
	// The inputs are weighed by stress; the load over the critical one follows in
	// proportion, and lies between in any case.
	share := 1.0
	if w := &j.Worst.D; w.Stress > influence.Quiet {
		share = w.U / w.Stress
	}
	h.Low, h.High = math.Min(low*share, r.Utilisation), math.Max(high*share, r.Utilisation)
	return h, nil
}

// splitsElsewhere tells what splits that were not followed may come to, where that would be
// a worse word for cracks than the one that is said.
func (m reporter) splitsElsewhere(r *Report, j *influence.Judged) string {
	word := r.Words.Of(j.PathBound)
	if len(j.Paths) == 0 || word.Severity() <= r.Words.Of(r.Utilisation).Severity() {
		return ""
	}
	return fmt.Sprintf("Splits of the wood were followed along the likeliest of its planes, %d in all. One elsewhere comes to no more than %d %% by a generous estimate, most often to less than the worst of these; at that it would be: %s.",
		len(j.Paths), r.Words.Percent(j.PathBound), word)
}

// farBent is the rise over the width it stands on above which the plate's law of
// small deflections is left: an arc of that rise has a slope of 0.4 at its ends, and
// a board bent both ways stiffens long before.
const farBent = 0.1

// beyondSmall lists the shapes told that the plate's law does not hold for.
func beyondSmall(r *Report) []string {
	var out []string
	narrow, long := math.Min(r.Width, r.Height), math.Max(r.Width, r.Height)
	for i := range r.Exposures {
		e := &r.Exposures[i]
		for _, s := range []struct {
			name       string
			rise, over float64
		}{{"cup", e.Cup, narrow}, {"bow", e.Bow, long}, {"twist", e.Twist, narrow}} {
			if math.Abs(s.rise) > farBent*s.over {
				out = append(out, fmt.Sprintf("Large deflections: the %s of %.0f mm told for “%s” is more than a tenth of the %.0f mm it stands over. The law of a plate holds for small ones; so thin a board stiffens as it bends and ends well short of that.",
					s.name, math.Abs(s.rise), e.Name, s.over))
			}
		}
	}
	return out
}
