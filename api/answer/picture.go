package answer

import (
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Picture draws a checked board as SVG: joints painted by utilisation, the
// worst one called out.
func Picture(b *layout.Board, r *check.Report) ([]byte, error) {
	m := draw.Marks{Title: string(r.Verdict) + titleOf(b), Subtitle: r.Headline, Worst: -1, Inches: b.Units == "in"}
	for _, p := range b.Pieces {
		m.Colours = append(m.Colours, colourOf(b, p))
	}
	at := make(map[string]int, len(b.Joints))
	for i, j := range b.Joints {
		at[j.ID] = i
	}
	for _, j := range r.Joints {
		i, ok := at[j.ID]
		if !ok {
			continue
		}
		m.Joints = append(m.Joints, draw.JointMark{Joint: i, Utilisation: j.Utilisation, Verdict: string(j.Verdict), How: j.How})
		if r.Worst != nil && r.Worst.Joint == j.ID {
			m.Worst, m.Callout = i, callout(r.Worst)
		}
	}
	for i, p := range b.Pieces {
		if r.Worst != nil && r.Worst.Piece == p.ID {
			m.PieceMarks = append(m.PieceMarks, draw.PieceMark{Piece: i, Utilisation: r.Worst.Utilisation, Text: r.Worst.How})
		}
	}
	return draw.Layout(b, m)
}

func titleOf(b *layout.Board) string {
	if b.Name == "" {
		return ""
	}
	return ": " + b.Name
}

func callout(w *check.Worst) string {
	words := w.How
	if w.When != "" {
		words += " " + w.When
	}
	return words
}

// colourOf is the colour the file gives the stock, or that of the wood.
func colourOf(b *layout.Board, p layout.Piece) string {
	if c := b.Stock[p.Stock].Colour; c != "" {
		return c
	}
	if s, err := wood.Find(p.Species); err == nil {
		return s.Colour
	}
	return ""
}
