package draw

import (
	"errors"
	"fmt"

	"github.com/tanrad/tanrad/pkg/layout"
)

// least is the smallest extent of a board or a strip that has a picture [mm].
const least = 1e-6

// checkBoard refuses what cannot be drawn.
func checkBoard(b *layout.Board) error {
	if b == nil || len(b.Pieces) == 0 {
		return errors.New("draw: a board without pieces has no picture")
	}
	if err := finite("size of the board", b.Width, b.Height); err != nil {
		return err
	}
	if b.Width < least || b.Height < least {
		return fmt.Errorf("draw: a board of %g × %g mm has no picture", b.Width, b.Height)
	}
	for _, q := range b.Pieces {
		if len(q.Outline) < 3 {
			return fmt.Errorf("draw: the outline of piece %s has %d corners", q.ID, len(q.Outline))
		}
		for _, at := range q.Outline {
			if err := finite("outline of piece "+q.ID, at[0], at[1]); err != nil {
				return err
			}
		}
		if err := finite("directions of piece "+q.ID, q.RingAngle, q.Grain.Angle); err != nil {
			return err
		}
		if q.Pith != nil {
			if err := finite("pith of piece "+q.ID, q.Pith[0], q.Pith[1]); err != nil {
				return err
			}
		}
	}
	for _, j := range b.Joints {
		if err := finite("joint "+j.ID, j.From[0], j.From[1], j.To[0], j.To[1]); err != nil {
			return err
		}
	}
	return nil
}

func checkMarks(b *layout.Board, m Marks) error {
	if err := checkColours(b, m.Colours); err != nil {
		return err
	}
	for _, o := range m.Modes {
		if err := checkUtilisation(o.Name, o.Figure); err != nil {
			return err
		}
		if err := finite("range of "+o.Name, o.Low, o.High); err != nil {
			return err
		}
	}
	seen := map[int]bool{}
	for _, j := range m.Joints {
		if j.Joint < 0 || j.Joint >= len(b.Joints) {
			return fmt.Errorf("draw: a mark for joint %d, but the board has %d joints", j.Joint, len(b.Joints))
		}
		if seen[j.Joint] {
			return fmt.Errorf("draw: two marks for joint %s", b.Joints[j.Joint].ID)
		}
		seen[j.Joint] = true
		if err := checkUtilisation("joint "+b.Joints[j.Joint].ID, j.Utilisation); err != nil {
			return err
		}
	}
	if m.Worst < -1 || m.Worst > 0 && m.Worst >= len(b.Joints) {
		return fmt.Errorf("draw: worst joint %d, but the board has %d joints", m.Worst, len(b.Joints))
	}
	seen = map[int]bool{}
	for _, q := range m.PieceMarks {
		if q.Piece < 0 || q.Piece >= len(b.Pieces) {
			return fmt.Errorf("draw: a mark for piece %d, but the board has %d pieces", q.Piece, len(b.Pieces))
		}
		if seen[q.Piece] {
			return fmt.Errorf("draw: two marks for piece %s", b.Pieces[q.Piece].ID)
		}
		seen[q.Piece] = true
		if err := checkUtilisation("piece "+b.Pieces[q.Piece].ID, q.Utilisation); err != nil {
			return err
		}
	}
	return nil
}

func checkColours(b *layout.Board, colours []string) error {
	if len(colours) != 0 && len(colours) != len(b.Pieces) {
		return fmt.Errorf("draw: %d colours for %d pieces", len(colours), len(b.Pieces))
	}
	for _, s := range colours {
		if s == "" {
			continue
		}
		if _, err := parseHex(s); err != nil {
			return err
		}
	}
	return nil
}

func checkUtilisation(what string, u float64) error {
	if err := finite("utilisation of "+what, u); err != nil {
		return err
	}
	if u < 0 {
		return fmt.Errorf("draw: utilisation of %s: %g is below 0", what, u)
	}
	return nil
}
