package layout

import "math"

// Turned returns the board turned counter-clockwise by a number of quarter
// turns (negative: clockwise) as a whole: outlines, fibres, rings, piths and the
// sides of borders. Piece and joint ids stay. The grid's rows and columns mean
// nothing afterwards and are taken away, as is the source. The only error is
// that of a board which was put together by hand and is not sound.
func (b *Board) Turned(quarters int) (*Board, error) {
	n := ((quarters % 4) + 4) % 4
	c := *b
	c.Rows, c.Cols, c.Source = 0, 0, nil
	c.Stock = make(map[string]Stock, len(b.Stock))
	for k, s := range b.Stock {
		s.Grain, s.RingAngle = turnedGrain(s.Grain, s.RingAngle, n)
		if s.Pith != nil && s.Grain.Up {
			q := quarterTurn(*s.Pith, n)
			s.Pith = &q
		}
		c.Stock[k] = s
	}
	c.Borders = make([]Border, len(b.Borders))
	for i, br := range b.Borders {
		sides := make([]string, len(br.Sides))
		for k, side := range br.Sides {
			sides[k] = turnedSide(side, n)
		}
		br.Sides, br.Pieces = sides, nil
		c.Borders[i] = br
	}
	pieces := make([]Piece, len(b.Pieces))
	for i, p := range b.Pieces {
		outline := make([]XY, len(p.Outline))
		for k, q := range p.Outline {
			outline[k] = quarterTurn(q, n)
		}
		if p.Pith != nil {
			q := *p.Pith
			if p.Grain.Up { // long grain: n·p and z turn with the piece
				q = quarterTurn(q, n)
			}
			p.Pith = &q
		}
		p.Outline, p.Row, p.Col = outline, -1, -1
		p.Grain, p.RingAngle = turnedGrain(p.Grain, p.RingAngle, n)
		pieces[i] = p
	}
	if err := c.settle(pieces); err != nil {
		return nil, err
	}
	return &c, nil
}

// quarterTurn turns a place by n quarters about the origin, without rounding.
func quarterTurn(p XY, n int) XY {
	for range n {
		p = XY{-p[1], p[0]}
	}
	return p
}

// turnedGrain turns the fibres in the plane, or the rings of end grain; the
// other of the two is told relative to it and stays.
func turnedGrain(g Grain, ring float64, n int) (Grain, float64) {
	if g.Up {
		return g, wrapped(ring + 90*float64(n))
	}
	g.Angle = wrapped(g.Angle + 90*float64(n))
	return g, ring
}

// wrapped brings an angle into −180 < a ≤ 180.
func wrapped(a float64) float64 {
	a = math.Remainder(a, 360)
	if a == -180 {
		return 180
	}
	return a
}

func turnedSide(side string, n int) string {
	round := []string{"bottom", "right", "top", "left"}
	for i, s := range round {
		if s == side {
			return round[(i+n)%4]
		}
	}
	return side
}
