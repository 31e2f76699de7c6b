package draw

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Marks is what a caller has to say about a board; its zero value draws the
// bare board.
type Marks struct {
	Title    string      // first line; the verdict belongs here
	Subtitle string      // second line, smaller
	Colours  []string    // "#rrggbb" of each piece; nil or an empty entry is neutral
	Joints   []JointMark // any order; a joint without a mark is a plain glue line
	// Worst is the index of the joint to call out, −1 for none; it only counts
	// when Joints has a mark for it or Callout is set.
	Worst      int
	Callout    string        // words beside the worst joint
	PieceMarks []PieceMark   // wood inside pieces
	Modes      []ModeMark    // ways to fail, drawn as bars below the board
	Words      verdict.Scale // utilisations of joints and pieces at which the words begin
	Inches     bool          // scale bar and size in inches instead of mm
	Width      int           // px at which the picture is shown; 0 means 600
}

// JointMark is the result of one joint.
type JointMark struct {
	Joint       int     // index into Board.Joints
	Utilisation float64 // demand over capacity, 0 and above
	How         string  // "opens", "slides" and so on; may be empty
}

// PieceMark is the result of the wood inside one piece.
type PieceMark struct {
	Piece       int // index into Board.Pieces
	Utilisation float64
	Text        string
}

// manyParts is the number of pieces or joints above which a picture leaves out
// the words on pointing at the harmless ones, to keep its size.
const manyParts = 240

// Layout draws a board from above: its pieces in their wood colours with the
// rings of the end grain or the fibres of long grain, its joints painted by
// utilisation, a legend, a scale and the worst joint called out. It returns an
// error when the board is empty, an index is off the board or used twice, a
// colour is not #rrggbb, or a number is negative or not finite.
func Layout(b *layout.Board, m Marks) ([]byte, error) {
	if err := checkBoard(b); err != nil {
		return nil, err
	}
	if err := checkMarks(b, m); err != nil {
		return nil, err
	}
	var c canvas
	p := &plan{b: b, m: m, worst: -1}
	if m.Worst >= 0 && m.Worst < len(b.Joints) {
		for _, j := range m.Joints {
			if j.Joint == m.Worst {
				p.worst = m.Worst
			}
		}
		if m.Callout != "" {
			p.worst = m.Worst
		}
	}
	top := heading(&c, m.Title, m.Subtitle, p.tint())
	bottom := p.place(top)
	drawPieces(&c, p.woods(), "pieces")
	p.drawPlaces(&c)
	p.drawJoints(&c)
	p.drawPieceMarks(&c)
	p.drawCallout(&c)
	bottom = drawScale(&c, p.f, bottom, b, m.Inches)
	bottom = p.drawLegend(&c, bottom)
	bottom = p.drawModes(&c, bottom)
	bottom = drawWoods(&c, b, m.Colours, bottom)
	return c.finish(m.Width, bottom+8, brief(m.Title), p.describe()), nil
}

// plan is the picture in the making.
type plan struct {
	b     *layout.Board
	m     Marks
	f     frame
	s     float64 // line scale: 1 for blocks of 36 units and more, less for small ones
	rows  []span  // of the field, from the top
	cols  []span  // of the field, from the left
	worst int
	call  callout
}

// tint is the colour of the bar beside the title: the ramp at the highest
// utilisation, or a wood tone when nothing was computed.
func (p *plan) tint() string {
	top := -1.0
	for _, j := range p.m.Joints {
		top = math.Max(top, p.m.Words.AsCrack(j.Utilisation))
	}
	for _, q := range p.m.PieceMarks {
		top = math.Max(top, p.m.Words.AsCrack(q.Utilisation))
	}
	for _, o := range p.m.Modes {
		if !o.Told {
			top = math.Max(top, o.Words.AsCrack(o.Figure))
		}
	}
	if top < 0 {
		return "#a08a6c"
	}
	return rampColour(top).hex()
}

// place decides where board and callout stand; it returns the lower end of both.
func (p *plan) place(top float64) float64 {
	p.rows, p.cols = fieldSpans(p.b)
	if len(p.cols) > 0 {
		top += markRoom
	}
	p.f = fit(p.b.Width, p.b.Height, top)
	p.s = lineScale(p.b, p.f.k)
	bottom := top + p.f.k*p.b.Height
	if p.worst < 0 {
		return bottom
	}
	j := p.b.Joints[p.worst]
	p.call = newCallout(p.m.Callout)
	above := (j.From[1]+j.To[1])/2 > p.b.Height/2
	room := p.call.height() + 16
	if above {
		if len(p.cols) > 0 { // the gap below the label holds the numbers
			top, bottom = top-markRoom, bottom-markRoom
			p.f.y -= markRoom
		}
		p.f.y += room
		p.call.y = top
	} else {
		p.call.y = bottom + 16
	}
	p.call.above = above
	return bottom + room
}

// woods are the looks of all pieces at their place.
func (p *plan) woods() []wood {
	titles := len(p.b.Pieces) <= manyParts
	out := make([]wood, len(p.b.Pieces))
	for i, q := range p.b.Pieces {
		out[i] = woodOf(q, p.f.outline(q.Outline), colourOf(p.m.Colours, i), p.f)
		if titles {
			out[i].title = pieceTitle(q)
		}
	}
	return out
}

func colourOf(colours []string, i int) string {
	if i < len(colours) && colours[i] != "" {
		return colours[i]
	}
	return neutralWood
}

// woodOf gives a piece's look with an outline of its own, for displaced pieces.
func woodOf(q layout.Piece, outline []xy, colour string, f frame) wood {
	w := wood{colour: colour, look: look{
		id: q.ID, outline: outline, up: q.Grain.Up, angle: q.Grain.Angle, ring: q.RingAngle, unlooked: q.RingUnknown,
		gap: math.Min(math.Max(3*f.k, 3.4), 5.5),
	}}
	if q.Grain.Up && q.Pith != nil {
		at := f.at(*q.Pith)
		w.pith = &at
	}
	return w
}

func pieceTitle(q layout.Piece) string {
	s := q.ID + ": " + woodName(q.Species)
	if q.RingUnknown {
		if q.Grain.Up {
			return s + ", end grain, rings not looked at"
		}
		return s + ", long grain at " + sig(q.Grain.Angle, 4) + "°, rings not looked at"
	}
	if q.Grain.Up {
		if q.Pith != nil {
			return s + ", end grain, rings round the pith"
		}
		return s + ", end grain, ring angle " + sig(q.RingAngle, 4) + "°"
	}
	return s + ", long grain at " + sig(q.Grain.Angle, 4) + "°, ring angle " + sig(q.RingAngle, 4) + "°"
}

// woodName is a species' key as words.
func woodName(id string) string { return strings.ReplaceAll(id, "-", " ") }

// describe is the picture in words.
func (p *plan) describe() string {
	var s strings.Builder
	unit := unitOf(p.m.Inches)
	fmt.Fprintf(&s, "A board of %s and %s, %s by %s %s, seen from above.", plural(len(p.b.Pieces), "piece"),
		plural(len(p.b.Joints), "joint"), length(p.b.Width, p.m.Inches), length(p.b.Height, p.m.Inches), unit)
	if len(p.m.Joints) > 0 {
		var n [4]int
		for _, j := range p.m.Joints {
			n[p.m.Words.Band(j.Utilisation)]++
		}
		fmt.Fprintf(&s, " Joints by verdict: %d holds, %d tight, %d doubtful, %d fails.", n[0], n[1], n[2], n[3])
	}
	if p.worst >= 0 {
		s.WriteString(" Worst joint: " + p.b.Joints[p.worst].ID + ".")
		if p.m.Callout != "" {
			s.WriteString(" " + brief(p.m.Callout))
		}
	}
	return s.String()
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
