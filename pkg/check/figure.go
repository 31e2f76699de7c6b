package check

import (
	"context"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Figure is what boards are compared by: the figures of a Report under the same
// conditions, without what explains them. Searches, advice and safe ranges all
// ask here, so that they cannot disagree with a check.
type Figure struct {
	Utilisation float64 `json:"utilisation"`
	Index       float64 `json:"index"`           // of the worst mode that counts
	Verdict     Verdict `json:"verdict"`         // its word
	Mode        string  `json:"mode"`            // the mode that gives the word
	State       string  `json:"state"`           // name of the end state or exposure that governs; "" when nothing is stressed
	Worst       string  `json:"worst"`           // joint or piece id
	Rings       *Rings  `json:"rings,omitempty"` // of a board file whose rings nobody has looked at: how it comes out by luck

	LookedAt []string `json:"-"` // names of the end states and exposures judged

	of    map[string]float64 // figures of the modes that were judged
	words verdict.Scale      // of the one that gives the word
}

// Of is the figure of a mode over its limit (dimensionless), 0 where it was not judged.
func (f *Figure) Of(mode string) float64 { return f.of[mode] }

// Governing is the figure of the mode that gives the word, over its limit (dimensionless).
func (f *Figure) Governing() float64 {
	if v, ok := f.of[f.Mode]; ok {
		return v
	}
	return f.Index
}

// Percent is the same in whole % of the word.
func (f *Figure) Percent() int { return f.words.Percent(f.Governing()) }

// ByWorst says that Utilisation, State and Worst are about the way that gives the word.
func (f *Figure) ByWorst() bool {
	return IsCrack(f.Mode) && !verdict.Worse(f.Governing(), f.Utilisation)
}

// told enters what gives the word.
func (f *Figure) told(modes []Mode) {
	by, index, word := governing(modes)
	f.Index, f.Verdict, f.of = index, word, map[string]float64{}
	if by >= 0 {
		f.Mode, f.words = modes[by].Mode, modes[by].Scale()
	}
	for i := range modes {
		if modes[i].Figure != nil {
			f.of[modes[i].Mode] = *modes[i].Figure
		}
	}
}

// Figure is that of a report.
func (r *Report) Figure() Figure {
	f := Figure{Utilisation: r.Utilisation}
	f.told(r.Modes)
	for i := range r.States {
		f.LookedAt = append(f.LookedAt, r.States[i].Name)
	}
	for i := range r.Exposures {
		if !r.Exposures[i].Mishap {
			f.LookedAt = append(f.LookedAt, r.Exposures[i].Name)
		}
	}
	if w := r.Worst; w != nil {
		f.State, f.Worst = w.State, w.Joint+w.Piece // one of them is empty
	}
	return f
}

// FigureOf judges a board. Errors: those of Board.
func FigureOf(ctx context.Context, b *layout.Board, c Conditions) (Figure, error) {
	m, err := Prepare(ctx, b, c)
	if err != nil {
		return Figure{}, err
	}
	return m.Figure(ctx, c)
}

// Figure judges the prepared board. Errors: those of Report.
func (p *Prepared) Figure(ctx context.Context, c Conditions) (Figure, error) {
	j, err := p.judge(ctx, c, false)
	if err != nil {
		return Figure{}, err
	}
	f := Figure{Utilisation: j.Worst.D.U}
	f.told(p.m.modes(j))
	for i := range j.States {
		f.LookedAt = append(f.LookedAt, j.States[i].Name)
	}
	for _, h := range j.Histories {
		f.LookedAt = append(f.LookedAt, h.LoadHistory.ID())
	}
	if f.Utilisation >= influence.Quiet {
		w := p.m.worstOf(j)
		f.State, f.Worst = w.State, w.Joint+w.Piece // one of them is empty
	}
	return f, nil
}
