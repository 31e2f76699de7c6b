package check

import (
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// checks tells how deep the wood opens from a face.
func (m reporter) checks(s *influence.SurfaceCheck) *Checks {
	if !s.Told() {
		return nil
	}
	c := &Checks{Fine: s.Fine, Depth: s.Depth, Index: s.Index(m.Board.Thickness), Face: levelName(-1), Piece: m.Board.Pieces[s.Piece].ID, Hour: s.Hour, Closes: s.Closes}
	if s.Top {
		c.Face = levelName(1)
	}
	c.Text = "Fine checks to " + m.length(c.Depth, 1)
	if c.Depth > c.Fine {
		c.Text = "Checks to " + m.length(c.Depth, 0)
	}
	switch {
	case c.Index >= verdict.FromFails:
		c.Text += ": deeper than a third of the wood."
	case c.Closes:
		c.Text += " that close again when damp."
	default:
		c.Text += ", open while the wood is as dry."
	}
	return c
}

// end tells the line that comes nearest to opening from the rim.
func (m reporter) end(l *influence.LineMoment) *End {
	if l.Line < 0 || l.Result.V < influence.Quiet {
		return nil
	}
	line, r := &m.Lines[l.Line].Line, &l.Result
	low, high := m.EndRange(l)
	e := &End{Joint: m.Board.Joints[m.JointOf(l)].ID, Utilisation: r.V, UtilisationLow: low, UtilisationHigh: high, Verdict: risk.Scale(m.endScatter(l)).Of(r.V), Length: r.To - r.From, At: roundXY(line.From), Hour: l.Hour}
	if r.From > influence.Flat {
		e.At = roundXY(line.To)
	}
	e.Text = fmt.Sprintf("It bears %.1f times this at its end.", 1/r.V)
	if e.Verdict == Fails || e.Verdict == Doubtful {
		e.Text = fmt.Sprintf("Opens from the end, to %s.", m.length(e.Length, 0))
	}
	return e
}

// endScatter is what scatters the figure of a line at its end: that of a crack, and what
// its end bears, which is known as a range.
func (m reporter) endScatter(l *influence.LineMoment) []risk.Part {
	if l.Line < 0 || l.Result.V < influence.Quiet {
		return m.scatter()
	}
	low, high := m.EndRange(l)
	if high <= low {
		return m.scatter()
	}
	share := joint.EndShare()
	return append(slices.Clone(m.scatter()), risk.Part{Name: "what glue lines bear at their ends", Spread: math.Log(high/low) / 2 / risk.OneInTwenty, Source: share.Source, Status: string(share.Status)})
}

// Checked is the exposure, mishaps left out, in which tension that balances itself
// inside a piece is highest, nil where none pulls, and what the deepest checks of any
// come to.
func (r *Report) Checked() (worst *Exposure, text string) {
	text = "The wood itself takes uneven drying without harm."
	deepest := 0.0
	for i := range r.Exposures {
		e := &r.Exposures[i]
		if e.Mishap {
			continue
		}
		if e.Checks != nil && e.Checks.Depth > deepest {
			deepest, text = e.Checks.Depth, e.Checks.Text
		}
		if e.Checking.Utilisation > influence.Quiet && (worst == nil || verdict.Worse(e.Checking.Utilisation, worst.Checking.Utilisation)) {
			worst = e
		}
	}
	return worst, text
}
