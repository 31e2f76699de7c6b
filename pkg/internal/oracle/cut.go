package oracle

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// Cut is a stretch of a level glue line (y constant) that is sawn open, and of the
// upright one at its right end where it turns there.
type Cut struct {
	Y    float64  `json:"y"`    // mm
	From float64  `json:"from"` // mm, in x
	To   float64  `json:"to"`
	Turn *float64 `json:"turn,omitempty"` // mm, in y: to where the cut goes on upright; nil where it does not turn
	// Energy is what the cut sets free over its area, N/mm: the energy stored in the
	// board before less that after, at the same free strains, crack faces that do not overlap.
	Energy  float64 `json:"energy"`
	Doubt   float64 `json:"doubt"`   // relative difference to a coarser mesh
	Touches int     `json:"touches"` // nodes of the crack faces that press on each other
}

// CutRecord is a board with what it sets free when it is cut, as kept in
// testdata/oracle/cuts.
type CutRecord struct {
	Solver   string  `json:"solver"`
	Element  string  `json:"element"`
	DeckHash string  `json:"deck_sha256"` // of the board uncut
	Board    *Deck   `json:"board"`
	Stored   float64 `json:"stored"` // N, energy of the board uncut over its thickness
	Cuts     []Cut   `json:"cuts"`
}

// length is that of the cut, mm.
func (c *Cut) length() float64 {
	if c.Turn == nil {
		return c.To - c.From
	}
	return c.To - c.From + math.Abs(*c.Turn-c.Y)
}

// lip is a place of a cut: the leading nodes of its two sides, which cannot pass each
// other along one axis.
type lip struct {
	one, other int // in the direction of the axis the first must stay ahead
	axis       int // 0 x, 1 y
}

// open replaces the ties of m by those of the board cut open: on the cut, pieces above
// hang together and pieces below do; beside its upright part those on the left and those
// on the right; where it turns those in the corner and the others. The ends stay whole
// unless they lie on the rim.
func (m *faceMesh) open(c *Cut) (groups [][]int, l []lip) {
	rim := func(x float64) bool { // no wood on one side of x at the height of the cut
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range m.deck.Pieces {
			for _, q := range p.Corners {
				lo, hi = math.Min(lo, q[0]), math.Max(hi, q[0])
			}
		}
		return math.Abs(x-lo) < near || math.Abs(x-hi) < near
	}
	for _, g := range m.ties() {
		p := m.place[g[0]]
		level := math.Abs(p[1]-c.Y) < 1e-5 && (p[0] > c.From+1e-5 && p[0] < c.To-1e-5 || math.Abs(p[0]-c.From) < 1e-5 && rim(c.From) || math.Abs(p[0]-c.To) < 1e-5 && (c.Turn != nil || rim(c.To)))
		upright := c.Turn != nil && math.Abs(p[0]-c.To) < 1e-5 && (p[1] == c.Y || (p[1]-c.Y)*(*c.Turn-c.Y) > 0) && math.Abs(p[1]-c.Y) < math.Abs(*c.Turn-c.Y)-1e-5
		upright = upright || level && c.Turn != nil && math.Abs(p[0]-c.To) < 1e-5
		if !level && !upright {
			groups = append(groups, g)
			continue
		}
		up := 1.0 // which way it turns
		if c.Turn != nil && *c.Turn < c.Y {
			up = -1
		}
		var one, other []int
		for _, n := range g {
			q := meanOf(m.deck.Pieces[m.owner[n]].Corners)
			ahead := true // of the side that is told first: above, or on the right; in the corner
			switch {
			case level && upright:
				ahead = up*(q[1]-c.Y) > 0 && q[0] < c.To
			case level:
				ahead = q[1] > c.Y
			default:
				ahead = q[0] > c.To
			}
			if ahead {
				one = append(one, n)
			} else {
				other = append(other, n)
			}
		}
		if len(one) == 0 || len(other) == 0 {
			groups = append(groups, g)
			continue
		}
		groups = append(groups, one, other)
		switch a, b := one[0], other[0]; {
		case level && upright: // the wood in the corner lies above (or below) and on the left
			l = append(l, lip{b, a, 0})
			if up < 0 {
				a, b = b, a
			}
			l = append(l, lip{a, b, 1})
		case level:
			l = append(l, lip{a, b, 1})
		default:
			l = append(l, lip{a, b, 0})
		}
	}
	return groups, l
}

// meanOf is the mean of corners.
func meanOf(c []Vec2) (q Vec2) {
	for _, p := range c {
		for a := range q {
			q[a] += p[a] / float64(len(c))
		}
	}
	return q
}

// stored solves the board with some ties and gives the energy it holds over its
// thickness, N, with the displacements. touching are pairs of nodes that move alike
// across the cut.
func (m *faceMesh) stored(groups [][]int, touching []lip) (float64, *tables, error) {
	var b bytes.Buffer
	if err := m.writeTied(&b, groups, touching); err != nil {
		return 0, nil, err
	}
	t, err := solve(b.Bytes())
	if err != nil {
		return 0, nil, fmt.Errorf("%s: %w", m.deck.Name, err)
	}
	sum := 0.0
	for k, e := range m.elems {
		at, err := t.planeStresses(k)
		if err != nil {
			return 0, nil, err
		}
		for i := range 2 {
			for j := range 2 {
				sum += m.deck.Pieces[e.piece].energy(at[i][j]) * m.jacobian(e, [2]float64{-gauss, gauss}[j], [2]float64{-gauss, gauss}[i])
			}
		}
	}
	return sum, t, nil
}

// energy is ½σ:S:σ of a plane stress xx, yy, xy, MPa.
func (p *Piece) energy(s [3]float64) float64 {
	on := func(a, b [3]float64) float64 { // a·σ·b
		return a[0]*b[0]*s[0] + a[1]*b[1]*s[1] + (a[0]*b[1]+a[1]*b[0])*s[2]
	}
	e := p.Elastic
	r, t, l := on(p.AxisR, p.AxisR), on(p.AxisT, p.AxisT), on(p.AxisL, p.AxisL)
	rt, lr, lt := on(p.AxisR, p.AxisT), on(p.AxisL, p.AxisR), on(p.AxisL, p.AxisT)
	return (r*r/e.ER+t*t/e.ET+l*l/e.EL-2*e.NuRT*r*t/e.ER-2*e.NuLR*l*r/e.EL-2*e.NuLT*l*t/e.EL)/2 +
		(rt*rt/e.GRT+lr*lr/e.GLR+lt*lt/e.GLT)/2
}

// jacobian is the area an element has per unit of ξη at a place; its sides are straight.
func (m *faceMesh) jacobian(e element, xi, eta float64) float64 {
	var dx, de Vec2
	for k := range 4 {
		sx, se := [4]float64{-1, 1, 1, -1}[k], [4]float64{-1, -1, 1, 1}[k]
		p := m.place[e.node[k]]
		for c := range 2 {
			dx[c] += sx * (1 + se*eta) / 4 * p[c]
			de[c] += se * (1 + sx*xi) / 4 * p[c]
		}
	}
	return dx.cross(de)
}

// writeTied writes the deck with the given ties, all stresses printed, and the
// displacements of all nodes.
func (m *faceMesh) writeTied(b *bytes.Buffer, groups [][]int, touching []lip) error {
	var whole bytes.Buffer
	if err := m.writeMembrane(&whole); err != nil {
		return err
	}
	text := whole.String()
	from, to := strings.Index(text, "*EQUATION"), strings.Index(text, "*BOUNDARY")
	if from < 0 {
		from = to
	}
	b.WriteString(text[:from])
	for _, g := range groups {
		for _, n := range g[1:] {
			for dof := 1; dof <= 2; dof++ {
				fmt.Fprintf(b, "*EQUATION\n2\n%d, %d, 1., %d, %d, -1.\n", n+1, dof, g[0]+1, dof)
			}
		}
	}
	for _, p := range touching {
		fmt.Fprintf(b, "*EQUATION\n2\n%d, %d, 1., %d, %d, -1.\n", p.one+1, p.axis+1, p.other+1, p.axis+1)
	}
	rest := text[to:]
	b.WriteString(rest[:strings.Index(rest, "*NSET, NSET=POINTS")])
	fmt.Fprintf(b, "*ELSET, ELSET=ALL, GENERATE\n1, %d, 1\n*NODE PRINT, NSET=NALL\nU\n*EL PRINT, ELSET=ALL, GLOBAL=YES\nS\n*END STEP\n", len(m.elems))
	return nil
}

// release cuts the board open and gives the energy set free over the area, N/mm,
// with the number of places that touch.
func (m *faceMesh) release(c *Cut, before float64) (g float64, touches int, err error) {
	groups, l := m.open(c)
	if len(l) == 0 {
		return 0, 0, fmt.Errorf("oracle: %s: nothing lies on the cut at y = %g", m.deck.Name, c.Y)
	}
	held, once := make([]bool, len(l)), make([]bool, len(l))
	for range 20 {
		var touching []lip
		for i := range held {
			if held[i] {
				touching = append(touching, l[i])
			}
		}
		after, t, err := m.stored(groups, touching)
		if err != nil {
			return 0, 0, err
		}
		changed := 0
		for i := range held {
			switch {
			case !held[i] && t.displacement[l[i].one+1][l[i].axis] < t.displacement[l[i].other+1][l[i].axis]-1e-9:
				held[i] = true
				changed++
			case held[i] && !once[i] && m.pulled(t, &l[i]):
				held[i], once[i] = false, true // let go once: a node at the edge of the contact would come and go
				changed++
			}
		}
		if changed == 0 {
			return (before - after) / c.length(), len(touching), nil
		}
	}
	return 0, 0, fmt.Errorf("oracle: %s: contact does not settle", m.deck.Name)
}

// pulled tells whether the elements at a place are in tension across the cut.
func (m *faceMesh) pulled(t *tables, l *lip) bool {
	node, sum := l.one, 0.0
	for k, e := range m.elems {
		for v, n := range e.node {
			if n != node {
				continue
			}
			at, err := t.planeStresses(k)
			if err != nil {
				return false
			}
			// The row of integration points nearest to the node.
			eta := [8]int{0, 0, 1, 1, 0, 0, 1, 0}[v]
			xi := [8]int{0, 1, 1, 0, 0, 1, 0, 0}[v]
			sum += at[eta][xi][l.axis]
		}
	}
	return sum > 0
}

// MakeCuts solves a board whole and cut open at two finenesses and puts the record together.
func MakeCuts(d *Deck, cuts []Cut) (*CutRecord, error) {
	version, err := Version()
	if err != nil {
		return nil, err
	}
	deck, err := MembraneDeck(d, cutFine)
	if err != nil {
		return nil, err
	}
	r := &CutRecord{Solver: version, Element: "CPS8R", DeckHash: Hash(deck), Board: d, Cuts: append([]Cut(nil), cuts...)}
	for i, level := range []Level{cutCoarse, cutFine} {
		m, err := newMesh(d, level, false)
		if err != nil {
			return nil, err
		}
		if r.Stored, _, err = m.stored(m.ties(), nil); err != nil {
			return nil, err
		}
		for k := range r.Cuts {
			c := &r.Cuts[k]
			g, touches, err := m.release(c, r.Stored)
			if err != nil {
				return nil, err
			}
			if i > 0 {
				c.Doubt = math.Abs(g/c.Energy - 1)
			}
			c.Energy, c.Touches = g, touches
		}
	}
	return r, nil
}

// The finenesses at which boards are cut.
var (
	cutFine   = Level{N: 10, Graded: 7, Ratio: 1.7}
	cutCoarse = Level{N: 7, Graded: 5, Ratio: 1.7}
)

// Cuts lists the boards that are cut, shrinking (crack faces open) and swelling (crack faces press),
// with the stretches of their seams.
func Cuts() ([]*Deck, [][]Cut, error) {
	at := func(d *Deck, mc float64) *Deck {
		for i := range d.Pieces {
			p := &d.Pieces[i]
			p.To = mc
			p.Strain = woods[p.Wood].strain(p.From, mc)
		}
		return d
	}
	frame := func() []Piece {
		return spread(blocks(3, 2, 40, 0, 0, randomRings(2)), butt(120, 80, 30, "black-walnut", false))
	}
	decks := []*Deck{
		at(&Deck{Name: "frame-dry", About: "rings at random in a butted long-grain frame, drying: seams pulled open", Pieces: frame()}, 5),
		at(&Deck{Name: "frame-damp", About: "the same, swelling: seams pressed, lips slide", Pieces: frame()}, 11),
		at(&Deck{Name: "random-dry", About: "checker of two woods, rings at random, drying", Pieces: blocks(4, 3, 40, 0, 0, randomRings(1))}, 5),
	}
	// Once moved to the origin the frame's field lies from 30 to 150 mm in x, its seam
	// at y = 70; the checker's lower seam at y = 40.
	to := func(y float64) *float64 { return &y }
	seams := [][]Cut{
		{{Y: 70, From: 30, To: 150}, {Y: 70, From: 30, To: 110}, {Y: 70, From: 70, To: 110}, {Y: 70, From: 30, To: 150, Turn: to(110)}},
		{{Y: 70, From: 30, To: 150}, {Y: 70, From: 70, To: 150}, {Y: 30, From: 30, To: 150}, {Y: 70, From: 70, To: 150, Turn: to(110)}},
		{{Y: 40, From: 0, To: 40}, {Y: 40, From: 0, To: 120}, {Y: 40, From: 40, To: 120}, {Y: 80, From: 80, To: 160}},
	}
	for _, d := range decks {
		d.Thickness, d.Window = 40, 5
		d.place()
		if err := d.finish(); err != nil {
			return nil, nil, err
		}
	}
	return decks, seams, nil
}
