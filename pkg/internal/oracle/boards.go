package oracle

import (
	"fmt"
	"math"
	"math/rand/v2"
)

const (
	glued = 8.0  // % MC when glued
	later = 11.0 // % MC asked for
)

func rect(x0, y0, x1, y1 float64) []Vec2 {
	return []Vec2{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// blocks makes a field of cols × rows square end-grain blocks from (x0, y0);
// turn gives wood and ring angle of the block in column c and row r from below.
func blocks(cols, rows int, size, x0, y0 float64, turn func(c, r int) (string, float64)) []Piece {
	var out []Piece
	for r := range rows {
		for c := range cols {
			name, ring := turn(c, r)
			x, y := x0+float64(c)*size, y0+float64(r)*size
			out = append(out, endGrain(fmt.Sprintf("c%dr%d", c, r), name, ring, glued, later, rect(x, y, x+size, y+size)...))
		}
	}
	return out
}

var pair = [2]string{"sugar-maple", "black-walnut"}

func checker(c, r int) (string, float64) { return pair[(c+r)%2], 20 }

// randomRings turns the blocks of a checker by whole degrees drawn from a fixed seed.
func randomRings(seed uint64) func(c, r int) (string, float64) {
	rng := rand.New(rand.NewPCG(seed, 7))
	return func(c, r int) (string, float64) { return pair[(c+r)%2], float64(rng.IntN(180)) }
}

// butt puts a border of the given width and stage round what spans 0…w × 0…h:
// left and right first, then top and bottom over the full width.
func butt(w, h, width float64, name string, up bool) []Piece {
	make := func(id string, angle float64, c []Vec2) Piece {
		if up {
			return endGrain(id, name, angle, glued, later, c...)
		}
		return longGrain(id, name, angle, 0, glued, later, c...)
	}
	return []Piece{
		make("left", 90, rect(-width, 0, 0, h)),
		make("right", 90, rect(w, 0, w+width, h)),
		make("bottom", 0, rect(-width, -width, w+width, 0)),
		make("top", 0, rect(-width, h, w+width, h+width)),
	}
}

// mitre is a long-grain border with mitred corners round 0…w × 0…h.
func mitre(w, h, b float64, name string) []Piece {
	return []Piece{
		longGrain("left", name, 90, 90, glued, later, Vec2{-b, -b}, Vec2{0, 0}, Vec2{0, h}, Vec2{-b, h + b}),
		longGrain("right", name, 90, 90, glued, later, Vec2{w, 0}, Vec2{w + b, -b}, Vec2{w + b, h + b}, Vec2{w, h}),
		longGrain("bottom", name, 0, 90, glued, later, Vec2{-b, -b}, Vec2{w + b, -b}, Vec2{w, 0}, Vec2{0, 0}),
		longGrain("top", name, 0, 90, glued, later, Vec2{0, h}, Vec2{w, h}, Vec2{w + b, h + b}, Vec2{-b, h + b}),
	}
}

// splitTiles is a field of square cells, each two half-square triangles, cut
// rising and falling in turn.
func splitTiles(cols, rows int, size float64) []Piece {
	rings := []float64{15, 100, 60, 140, 35, 80, 165, 120, 5, 50, 95, 30}
	var out []Piece
	n := 0
	add := func(c ...Vec2) {
		names := []string{"sugar-maple", "black-walnut", "black-cherry"}
		out = append(out, endGrain(fmt.Sprintf("t%d", n), names[n%3], rings[n%len(rings)], glued, later, c...))
		n++
	}
	for r := range rows {
		for c := range cols {
			x, y := float64(c)*size, float64(r)*size
			a, b, cc, d := Vec2{x, y}, Vec2{x + size, y}, Vec2{x + size, y + size}, Vec2{x, y + size}
			if (c+r)%2 == 0 {
				add(a, b, cc)
				add(a, cc, d)
			} else {
				add(a, b, d)
				add(b, cc, d)
			}
		}
	}
	return out
}

// brick is a field of bricks, every other row shifted by half a brick.
func brick() []Piece {
	var out []Piece
	rings := []float64{10, 75, 130, 40, 95, 160, 25, 110}
	for r := range 3 {
		cuts := []float64{0, 40, 80, 120}
		if r%2 == 1 {
			cuts = []float64{0, 20, 60, 100, 120}
		}
		for k := range len(cuts) - 1 {
			n := len(out)
			names := []string{"sugar-maple", "northern-red-oak", "black-walnut"}
			y := float64(r) * 30
			out = append(out, endGrain(fmt.Sprintf("b%d", n), names[n%3], rings[n%len(rings)], glued, later, rect(cuts[k], y, cuts[k+1], y+30)...))
		}
	}
	return out
}

// hexagons is a patch of regular hexagons of side 20 mm, points up, in rows of 2, 3 and 2.
func hexagons() []Piece {
	const side = 20.0
	width := side * math.Sqrt(3)
	rings := []float64{0, 35, 70, 110, 140, 20, 90}
	var out []Piece
	for r, row := range [][]float64{{-0.5, 0.5}, {-1, 0, 1}, {-0.5, 0.5}} {
		for _, c := range row {
			n := len(out)
			x, y := c*width, float64(r-1)*1.5*side
			w, h := width/2, side/2
			names := []string{"sugar-maple", "black-walnut", "black-cherry"}
			out = append(out, endGrain(fmt.Sprintf("h%d", n), names[n%3], rings[n], glued, later,
				Vec2{x, y - side}, Vec2{x + w, y - h}, Vec2{x + w, y + h}, Vec2{x, y + side}, Vec2{x - w, y + h}, Vec2{x - w, y - h}))
		}
	}
	return out
}

// rhombs is two hexagons of three rhombs each, side by side ("tumbling blocks").
func rhombs() []Piece {
	const side = 30.0
	h, w := side/2, side*math.Sqrt(3)/2
	rings := []float64{30, 120, 75, 10, 150, 95}
	var out []Piece
	for k := range 2 {
		o := Vec2{float64(k) * 2 * w, 0}
		at := func(x, y float64) Vec2 { return Vec2{o[0] + x, o[1] + y} }
		for _, c := range [][]Vec2{
			{at(0, 0), at(w, h), at(0, 2*h), at(-w, h)},    // top
			{at(-w, -h), at(0, -2*h), at(0, 0), at(-w, h)}, // left
			{at(0, -2*h), at(w, -h), at(w, h), at(0, 0)},   // right
		} {
			n := len(out)
			names := []string{"sugar-maple", "black-walnut", "white-ash"}
			out = append(out, endGrain(fmt.Sprintf("q%d", n), names[n%3], rings[n], glued, later, c...))
		}
	}
	return out
}

// pithBoard is three end-grain strips, the middle one cut from round its pith,
// its neighbour with the pith below the board.
func pithBoard() []Piece {
	out := []Piece{
		endGrain("s0", "sugar-maple", 0, glued, later, rect(0, 0, 100, 25)...),
		endGrain("s1", "black-walnut", 0, glued, later, rect(0, 25, 100, 65)...),
		endGrain("s2", "northern-red-oak", 30, glued, later, rect(0, 65, 100, 90)...),
	}
	out[0].Pith = &Vec2{40, -30}
	out[1].Pith = &Vec2{62, 42}
	return out
}

// curvedStrip is one end-grain strip with its pith r0 below the middle of its lower edge.
func curvedStrip() []Piece {
	p := endGrain("strip", "sugar-maple", 90, glued, later, rect(0, 0, 100, 20)...)
	p.Pith = &Vec2{50, -60}
	return []Piece{p}
}

// sandwich is a strip of one wood between two of another, rings along it.
func sandwich() []Piece {
	return []Piece{
		endGrain("below", "sugar-maple", 0, glued, later, rect(0, 0, 240, 15)...),
		endGrain("between", "black-walnut", 0, glued, later, rect(0, 15, 240, 35)...),
		endGrain("above", "sugar-maple", 0, glued, later, rect(0, 35, 240, 50)...),
	}
}

// mixedMoisture is a field whose pieces were glued at different moistures.
func mixedMoisture() []Piece {
	out := blocks(3, 2, 40, 0, 0, randomRings(5))
	for i := range out {
		from := []float64{6.5, 8, 9.5, 7, 10, 8.5}[i]
		out[i].From = from
		out[i].Strain = woods[out[i].Wood].strain(from, later)
	}
	return out
}

// A board glued in stages, % MC: the field dries from the first to the second before the
// border is glued on at the first, and all goes to the third. Constants and sizes are
// those of the first, so that what comes in a stage is the swelling of 1 % times its change.
const stageGlued, stageRested, stageLater = 12.0, 10.0, 9.0

// stageField is the field of that board as it dries by so many per cent.
func stageField(by float64) []Piece {
	return glueAt(stageGlued, stageGlued-by, blocks(2, 2, 40, 0, 0, randomRings(3)))
}

// stageBorder is the border of that board.
func stageBorder() []Piece {
	return glueAt(stageGlued, stageLater, butt(80, 80, 25, "black-cherry", false))
}

// glueAt is the same pieces glued at another moisture and gone to another [% MC].
func glueAt(from, to float64, pieces []Piece) []Piece {
	for i := range pieces {
		p := &pieces[i]
		p.From, p.To, p.Strain = from, to, woods[p.Wood].strain(from, to)
	}
	return pieces
}

// spread joins lists of pieces.
func spread(lists ...[]Piece) []Piece {
	var out []Piece
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

// Membrane lists the boards that are compared in plane stress.
func Membrane() ([]*Deck, error) {
	decks := []*Deck{
		{Name: "alike", About: "one wood, rings alike: no stress", Pieces: blocks(4, 3, 40, 0, 0, func(int, int) (string, float64) { return "sugar-maple", 25 })},
		{Name: "checker", About: "checker of two woods, rings alike", Pieces: blocks(4, 3, 40, 0, 0, checker)},
		{Name: "random", About: "checker of two woods, rings at random", Pieces: blocks(4, 3, 40, 0, 0, randomRings(1))},
		{Name: "long-grain-butt", About: "rings at random inside a butted long-grain border", Pieces: spread(blocks(3, 2, 40, 0, 0, randomRings(2)), butt(120, 80, 30, "black-walnut", false))},
		{Name: "end-grain-butt", About: "the same field inside a butted end-grain border", Pieces: spread(blocks(3, 2, 40, 0, 0, randomRings(2)), butt(120, 80, 30, "black-walnut", true))},
		{Name: "split-tiles", About: "half-square triangles of three woods", Pieces: splitTiles(3, 2, 40)},
		{Name: "brick", About: "bricks of three woods, every other row shifted by half", Pieces: brick()},
		{Name: "mitre", About: "checker inside a mitred long-grain border, quarter-sawn", Pieces: spread(blocks(3, 2, 40, 0, 0, checker), mitre(120, 80, 25, "black-cherry"))},
		{Name: "two-stage", About: "thin end-grain border, then a butted long-grain one", Pieces: twoStage()},
		{Name: "hexagons", About: "seven hexagons of three woods", Pieces: hexagons()},
		{Name: "rhombs", About: "six rhombs of three woods", Pieces: rhombs()},
		{Name: "pith", About: "three strips, one with the pith inside", Pieces: pithBoard()},
		{Name: "curved-strip", About: "one strip with curved rings: no stress, bows as in the closed form", Pieces: curvedStrip()},
		{Name: "sandwich", About: "three strips, long enough that the middle is free of shear", Pieces: sandwich()},
		{Name: "mixed-moisture", About: "pieces glued at different moistures", Pieces: mixedMoisture()},
		{Name: "patch", About: "a field of which a patch is wetted, cut at its edges", Pieces: patched()},
		{Name: "stage-field", About: "a field glued at 12 % that dries to 10 % by itself", Pieces: stageField(stageGlued - stageRested)},
		{Name: "stage-whole", About: "that field in a border glued on at 12 %, all at 9 %: what comes after", Pieces: spread(stageField(stageRested-stageLater), stageBorder())},
	}
	for _, d := range decks {
		d.Thickness, d.Window = 40, 5
		d.place()
		switch d.Name {
		case "curved-strip":
			d.Probes = []Vec2{{50, 0}, {100, 10}, {50, 20}, {0, 10}, {50, 10}}
		case "sandwich":
			d.Window = 120 // half the length
		}
		if err := d.finish(); err != nil {
			return nil, err
		}
	}
	return decks, nil
}

// twoStage is a field with an end-grain border of 15 mm and a long-grain one of 25 mm.
func twoStage() []Piece {
	inner := butt(80, 80, 15, "sugar-maple", true)
	outer := butt(110, 110, 25, "black-cherry", false)
	for i := range inner {
		inner[i].ID = "inner-" + inner[i].ID
	}
	for i := range outer {
		outer[i].ID = "outer-" + outer[i].ID
		for k := range outer[i].Corners {
			outer[i].Corners[k][0] -= 15
			outer[i].Corners[k][1] -= 15
		}
	}
	return spread(blocks(2, 2, 40, 0, 0, randomRings(3)), inner, outer)
}

// place moves the board so that its bounding box starts at the origin and
// chooses the supports: the leftmost and the rightmost corner of the lowest
// row of corners, or, where there is but one, corners of the first common height.
func (d *Deck) place() {
	lo := Vec2{math.Inf(1), math.Inf(1)}
	for _, p := range d.Pieces {
		for _, c := range p.Corners {
			lo[0], lo[1] = math.Min(lo[0], c[0]), math.Min(lo[1], c[1])
		}
	}
	for i := range d.Pieces {
		for k := range d.Pieces[i].Corners {
			d.Pieces[i].Corners[k] = d.Pieces[i].Corners[k].minus(lo)
		}
		if q := d.Pieces[i].Pith; q != nil && d.Pieces[i].Up {
			moved := q.minus(lo)
			d.Pieces[i].Pith = &moved
		}
	}
	left, right, far := d.points()[0], d.points()[0], d.points()[0]
	for _, p := range d.points() {
		switch {
		case p[1] < left[1]-near:
			left, right = p, p
		case math.Abs(p[1]-left[1]) < near && p[0] < left[0]:
			left = p
		case math.Abs(p[1]-left[1]) < near && p[0] > right[0]:
			right = p
		}
		if p[1] > far[1]+near || math.Abs(p[1]-far[1]) < near && p[0] < far[0] {
			far = p
		}
	}
	d.Support = [3]Vec2{left, right, far}
}

// curvedBoard is a long-grain strip, flat-sawn, with its pith line below it.
func curvedBoard() []Piece {
	p := longGrain("strip", "sugar-maple", 0, 0, glued, later, rect(0, 0, 240, 100)...)
	p.Pith = &Vec2{50, -80}
	return []Piece{p}
}

// tiltedFrame is a field inside a border whose rings are neither flat nor upright.
func tiltedFrame() []Piece {
	out := spread(blocks(3, 2, 40, 0, 0, randomRings(2)), butt(120, 80, 30, "black-walnut", false))
	for i := range out {
		if p := &out[i]; !p.Up {
			*p = longGrain(p.ID, p.Wood, p.Angle, 40, glued, later, p.Corners...)
		}
	}
	return out
}

// Solid lists the boards that are solved in bricks. In most the free strain is
// Strain at the upper face, its opposite at the lower one, linear between.
func Solid() ([]*Deck, error) {
	decks := []*Deck{
		{Name: "cup-strip", Thickness: 20, Gradient: true, About: "one long-grain strip, flat-sawn: exact curvature",
			Pieces: []Piece{longGrain("strip", "sugar-maple", 0, 0, glued, later, rect(0, 0, 240, 80)...)}},
		{Name: "cup-tilted", Thickness: 20, Gradient: true, About: "one long-grain strip, rings at 35°",
			Pieces: []Piece{longGrain("strip", "sugar-maple", 0, 35, glued, later, rect(0, 0, 240, 80)...)}},
		{Name: "cup-random-thin", Thickness: 10, Gradient: true, About: "checker of two woods, rings at random, thin",
			Pieces: blocks(4, 3, 40, 0, 0, randomRings(1))},
		{Name: "cup-random-thick", Thickness: 40, Gradient: true, About: "the same board as thick as its blocks are wide",
			Pieces: blocks(4, 3, 40, 0, 0, randomRings(1))},
		{Name: "cup-border", Thickness: 20, Gradient: true, About: "rings at random inside a butted long-grain border",
			Pieces: spread(blocks(3, 2, 40, 0, 0, randomRings(2)), butt(120, 80, 30, "black-walnut", false))},
		{Name: "cup-joints", Thickness: 4, Gradient: true, Moments: true, About: "checker of two woods, rings at random, thin: tractions in bending",
			Pieces: blocks(3, 2, 40, 0, 0, randomRings(4))},
		{Name: "cup-rings", Thickness: 20, About: "one flat-sawn strip with curved rings, evenly moist: cups without stress", Pieces: curvedBoard()},
		{Name: "cup-patch", Thickness: 20, Gradient: true, About: "a field of which a patch of one face is wetted, cut at its edges", Pieces: patched()},
		{Name: "tilted-frame", Thickness: 0.5, About: "rings at random inside a long-grain border with rings at 40°, evenly moist, thin as a sheet", Pieces: tiltedFrame()},
	}
	for _, d := range decks {
		d.Window, d.Solid = 5, true
		d.place()
		switch d.Name {
		case "cup-strip", "cup-tilted":
			d.Probes = []Vec2{{120, 0}, {240, 40}, {120, 80}, {0, 40}, {120, 40}}
		case "cup-rings":
			d.Probes = []Vec2{{120, 0}, {240, 50}, {120, 100}, {0, 50}, {120, 50}}
		}
		if err := d.finish(); err != nil {
			return nil, err
		}
	}
	return decks, nil
}
