package check

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// FaceOpening is a stretch of a glue line that opens from a face in one exposure: faces
// that dry ahead of the core pull at the line together with what the board does to it. It
// has a length and a depth, and counts for the word past a third of the thickness.
type FaceOpening struct {
	Utilisation float64   `json:"utilisation"` // the largest load over the load at which a stretch gets past a third of the thickness
	Verdict     Verdict   `json:"verdict"`
	Depth       float64   `json:"depth"`   // mm to which the line is opened at most; 0 where it stays shut
	Through     bool      `json:"through"` // open as far as half of the thickness, where it goes on
	Closes      bool      `json:"closes"`  // shut again later on
	Face        string    `json:"face"`    // "top face", "bottom face"
	Joint       string    `json:"joint"`   // in the middle of the stretch
	From        layout.XY `json:"from"`    // mm, the stretch
	To          layout.XY `json:"to"`
	Hour        float64   `json:"hour"`
	Text        string    `json:"text"` // one sentence
}

// opensAtFace tells of the stretch that is opened deepest, and where none is, of that
// which comes nearest to counting; nil where no face is pulled.
func (m reporter) opensAtFace(f *influence.Faces) *FaceOpening {
	s := &f.Worst
	if s.Line < 0 || s.V < influence.Quiet {
		return nil
	}
	if s.V < verdict.FromFails && f.Deepest.Told() {
		s = &f.Deepest
	}
	l := &m.Lines[s.Line].Line
	place := func(at float64) layout.XY { return roundXY(l.Place(at)) }
	o := &FaceOpening{Utilisation: f.Worst.V, Verdict: m.word(f.Worst.V), Face: levelName(-1), Joint: m.Board.Joints[l.Joints[s.Joint].Joint].ID, From: place(s.From), To: place(s.To), Hour: s.Hour}
	if s.Top {
		o.Face = levelName(1)
	}
	if s.Told() {
		o.Depth, o.Through, o.Closes = s.Depth, m.Through(s), f.Closes
	}
	switch {
	case o.Through:
		o.Text = fmt.Sprintf("Opens through from the %s.", o.Face)
	case o.Depth > 0:
		o.Text = fmt.Sprintf("Opens at the %s to %s", o.Face, m.length(o.Depth, digits(o.Depth)))
		switch {
		case o.Utilisation >= verdict.FromFails:
			o.Text += ", deeper than a third of the wood."
		case o.Closes:
			o.Text += " and closes again."
		default:
			o.Text += " and no deeper."
		}
	default:
		o.Text = fmt.Sprintf("Stays shut at its faces; it bears %.1f times this before it opens past a third of the wood.", 1/o.Utilisation)
	}
	return o
}

// governsFrom says that a stretch from a face gives the word of its glue line instead of
// a crack through the thickness: only where its word is the worse one. Faces pull at
// every line of every board that dries, and where all hold it is the crack that tells
// one board from another.
func (m reporter) governsFrom(face, crack float64) bool {
	return m.word(face).Severity() > m.word(crack).Severity()
}

// fromFace says that a stretch from a face gives the figure of the way.
func (o *Mode) fromFace() bool { return o.Face != nil && *o.Figure == o.Face.Utilisation }

// digits are those after the point of a depth [mm] as makers tell it.
func digits(depth float64) int {
	if depth < 3 {
		return 1
	}
	return 0
}
