package draw

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
)

// stockTest is a wood for boards made by hand.
type stockTest struct {
	species, colour string
	ring            float64
}

var woodsTest = map[byte]stockTest{
	'M': {"sugar-maple", "#e9d5b0", 0},
	'm': {"sugar-maple", "#e9d5b0", 90},
	'W': {"black-walnut", "#6b4a34", 45},
	'w': {"black-walnut", "#6b4a34", -20},
	'C': {"black-cherry", "#b9764a", 110},
	'P': {"purpleheart", "#6d3a5e", 70},
	'D': {"padauk", "#a8432d", 15},
	'G': {"wenge", "#33251d", 140},
	'Y': {"yellowheart", "#dcb64a", 30},
}

// gridBoard makes a board of square blocks from rows of letters, top row first,
// and the colour of each piece.
func gridBoard(block float64, rows ...string) (*layout.Board, []string) {
	n, m := len(rows), len(rows[0])
	b := &layout.Board{Name: "grid", Units: "mm", Thickness: 40, Rows: n, Cols: m,
		Width: float64(m) * block, Height: float64(n) * block}
	var colours []string
	for r := range n {
		for c := range m {
			s := woodsTest[rows[r][c]]
			x, y := float64(c)*block, float64(n-1-r)*block
			colours = append(colours, s.colour)
			addPiece(b, fmt.Sprintf("r%dc%d", r+1, c+1), s, layout.Grain{Up: true},
				xy{x, y}, xy{x + block, y}, xy{x + block, y + block}, xy{x, y + block})
		}
	}
	at := func(r, c int) int { return r*m + c }
	for r := range n {
		for c := range m {
			x, y := float64(c)*block, float64(n-1-r)*block
			if c+1 < m {
				addJoint(b, at(r, c), at(r, c+1), xy{x + block, y}, xy{x + block, y + block})
			}
			if r+1 < n {
				addJoint(b, at(r, c), at(r+1, c), xy{x, y}, xy{x + block, y})
			}
		}
	}
	return b, colours
}

func addPiece(b *layout.Board, id string, s stockTest, g layout.Grain, o ...xy) {
	b.Pieces = append(b.Pieces, layout.Piece{ID: id, Species: s.species, Grain: g, RingAngle: s.ring, Outline: o, Border: -1})
}

func addJoint(b *layout.Board, i, j int, from, to xy) {
	b.Joints = append(b.Joints, layout.Joint{ID: b.Pieces[i].ID + "|" + b.Pieces[j].ID, A: i, B: j, From: from, To: to,
		Length: math.Hypot(to[0]-from[0], to[1]-from[1])})
}

// frameBoard puts a long-grain border of the given width round a grid: left and
// right first, top and bottom over their ends.
func frameBoard(b *layout.Board, colours []string, wide float64, s stockTest) (*layout.Board, []string) {
	for i := range b.Pieces {
		for k := range b.Pieces[i].Outline {
			b.Pieces[i].Outline[k][0] += wide
			b.Pieces[i].Outline[k][1] += wide
		}
	}
	for i := range b.Joints {
		j := &b.Joints[i]
		j.From, j.To = xy{j.From[0] + wide, j.From[1] + wide}, xy{j.To[0] + wide, j.To[1] + wide}
	}
	w, h := b.Width, b.Height
	rect := func(x0, y0, x1, y1 float64) []xy { return []xy{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }
	first := len(b.Pieces)
	addPiece(b, "left1", s, layout.Grain{Angle: 90}, rect(0, wide, wide, wide+h)...)
	addPiece(b, "right1", s, layout.Grain{Angle: 90}, rect(wide+w, wide, 2*wide+w, wide+h)...)
	addPiece(b, "top2", stockTest{s.species, s.colour, 90}, layout.Grain{}, rect(0, wide+h, 2*wide+w, 2*wide+h)...)
	addPiece(b, "bottom2", stockTest{s.species, s.colour, 90}, layout.Grain{}, rect(0, 0, 2*wide+w, wide)...)
	for range 4 {
		colours = append(colours, s.colour)
	}
	block := w / float64(b.Cols)
	for r := range b.Rows {
		y := wide + float64(b.Rows-1-r)*block
		addJoint(b, first, r*b.Cols, xy{wide, y}, xy{wide, y + block})
		addJoint(b, r*b.Cols+b.Cols-1, first+1, xy{wide + w, y}, xy{wide + w, y + block})
	}
	for c := range b.Cols {
		x := wide + float64(c)*block
		addJoint(b, first+2, c, xy{x, wide + h}, xy{x + block, wide + h})
		addJoint(b, (b.Rows-1)*b.Cols+c, first+3, xy{x, wide}, xy{x + block, wide})
	}
	for i, x := range []float64{0, wide + w} {
		addJoint(b, first+2, first+i, xy{x, wide + h}, xy{x + wide, wide + h})
		addJoint(b, first+i, first+3, xy{x, wide}, xy{x + wide, wide})
	}
	b.Width, b.Height = w+2*wide, h+2*wide
	return b, colours
}

// b600 is a field of 30 × 20 cells, a third of them cut on both diagonals.
func b600() (*layout.Board, []string) {
	var b layout.Board
	var colours []string
	letters := "MWCPDGY"
	const block = 20.0
	b.Width, b.Height, b.Thickness, b.Name = 600, 400, 40, "six hundred"
	first := map[[2]int][]int{} // pieces of a cell by side: south, east, north, west
	for r := range 20 {
		for c := range 30 {
			x, y := float64(c)*block, float64(19-r)*block
			mid := xy{x + block/2, y + block/2}
			k := []xy{{x, y}, {x + block, y}, {x + block, y + block}, {x, y + block}}
			add := func(id string, i int, o ...xy) int {
				s := woodsTest[letters[(r*7+c*3+i*2+r*c)%len(letters)]]
				s.ring = float64((r*37+c*59+i*23)%180 - 90)
				addPiece(&b, id, s, layout.Grain{Up: true}, o...)
				colours = append(colours, s.colour)
				return len(b.Pieces) - 1
			}
			id := fmt.Sprintf("r%dc%d", r+1, c+1)
			if (r+c)%3 != 0 {
				i := add(id, 0, k...)
				first[[2]int{r, c}] = []int{i, i, i, i}
				continue
			}
			var q []int
			for i, name := range []string{".s", ".e", ".n", ".w"} {
				q = append(q, add(id+name, i, k[i], k[(i+1)%4], mid))
			}
			for i := range 4 {
				addJoint(&b, q[i], q[(i+1)%4], k[(i+1)%4], mid)
			}
			first[[2]int{r, c}] = q
		}
	}
	for r := range 20 {
		for c := range 30 {
			x, y := float64(c)*block, float64(19-r)*block
			if c+1 < 30 {
				addJoint(&b, first[[2]int{r, c}][1], first[[2]int{r, c + 1}][3], xy{x + block, y}, xy{x + block, y + block})
			}
			if r+1 < 20 {
				addJoint(&b, first[[2]int{r, c}][0], first[[2]int{r + 1, c}][2], xy{x, y}, xy{x + block, y})
			}
		}
	}
	return &b, colours
}

// tideMarks are made-up results that touch every band.
func tideMarks(b *layout.Board, colours []string) Marks {
	m := Marks{Title: "tide board: doubtful", Subtitle: "Worst in January, 94 days after glue-up. Change of moisture −3.1 % MC.",
		Colours: colours, Worst: -1}
	top := 0.0
	for i, j := range b.Joints {
		u := 0.05 + 0.9*math.Abs(math.Sin(float64(i)*1.7))*math.Abs(math.Cos(float64(i)*0.31))
		if len(b.Pieces[j.A].Outline) == 4 && (!b.Pieces[j.A].Grain.Up || !b.Pieces[j.B].Grain.Up) {
			u += 0.55
		}
		how := "slides"
		if i%2 == 0 {
			how = "opens"
		}
		m.Joints = append(m.Joints, JointMark{Joint: i, Utilisation: u, How: how})
		if u > top {
			top, m.Worst = u, i
		}
	}
	m.Callout = fmt.Sprintf("Worst joint %s: utilisation %.2f, opens in January. 71 %% of it comes from the left border.", b.Joints[m.Worst].ID, top)
	return m
}

func segment(a, b xy) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
