package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/wood"
)

// work is how a board is put together: from sticks to glue-ups in order.
type work struct {
	b       *layout.Board
	units   string  // of the texts, "mm" or "in"
	slice   float64 // mm, a slice as it is sawn: the board's thickness and what flattening takes
	kerf    float64 // mm
	sticks  []Stick
	panels  []Panel
	gluings []joinery
	notes   []string
	rests   []Offcut           // of strips that are glued longer than their side
	reach   map[string]float64 // mm, longest stick of a stock in the shop, by key
	loose   bool               // blocks are cut from sticks and not from panels
	pieced  bool               // the field is single pieces, glued at once
	l       *ledger
}

// joinery is one glue-up as it is counted: joints that are closed under one set of clamps.
type joinery struct {
	name   string
	kind   string // "stick", "panel", "row", "field", "border"
	times  int    // how often the same is done
	joints []seam
	run    float64  // mm along which clamps are set side by side
	stack  float64  // mm of wood between a clamp's jaws
	outer  float64  // mm, width of the outermost piece under the jaws
	thick  float64  // mm
	ends   bool     // fibres run through the thickness
	along  bool     // pieces lie in a row and can be glued in parts
	border int      // index of the border, −1
	stocks []string // further woods that stand at its lines
}

// seam is one joint of a glue-up.
type seam struct {
	area   float64 // mm²
	stocks [2]string
}

// Panel is sticks glued side by side, to be cut into slices.
type Panel struct {
	Name      string  `json:"name"`
	Sticks    int     `json:"sticks"`
	Slices    int     `json:"slices"`
	Made      int     `json:"made"`      // panels that its slices are divided among
	Turned    int     `json:"turned"`    // slices that are laid otherwise than the first
	Width     float64 `json:"width"`     // mm
	Thickness float64 `json:"thickness"` // mm, planed: the slice's size across the rows
	Length    float64 `json:"length"`    // mm, trimmed and with the kerfs
	Rows      []int   `json:"rows"`      // rows of the board from the top that its slices become
}

// told is what the file says of the work and the board does not keep.
type told struct {
	reach map[string]float64 // mm, longest stick of a stock, by key
	units string             // of the plan's texts
	sawn  bool               // the thickness at which slices are sawn off
}

// toldBy reads it off a file; units are those of the plan's texts.
func toldBy(f *layout.File, units string) told {
	t := told{units: units, reach: map[string]float64{}, sawn: f.Field.Build != nil && f.Field.Build.Sawn != 0}
	for key, of := range f.Stock {
		t.reach[key] = float64(of.Length) * f.Scale()
	}
	return t
}

// breakdown takes a board apart, from its own build where it tells one. A slice is
// sawn thicker than the board by what flattening takes [mm], or as the file tells.
func breakdown(b *layout.Board, file told, l *ledger, flatten float64) *work {
	w := &work{b: b, units: file.units, reach: file.reach, l: l, slice: b.Thickness + flatten}
	if b.Build != nil {
		if file.sawn {
			w.slice = b.Build.Sawn
			w.sawn(flatten)
		}
		if _, told := l.given["kerf"]; b.Build.Kerf > 0 && !told {
			w.kerf = b.Build.Kerf
			l.note(Figure{"kerf", w.kerf, "mm", "saw cut", "Told by the board file.", "given"})
		}
	}
	if w.kerf == 0 {
		w.kerf = l.use("kerf")
	}
	w.interior()
	from := len(w.sticks)
	w.borders()
	for i := range w.sticks[from:] { // what borders add to the cut list is theirs
		w.sticks[from+i].edge = true
	}
	return w
}

// interior takes the field apart, and the panels of borders where a build tells them.
func (w *work) interior() {
	if w.b.Build != nil {
		w.built()
		return
	}
	var rowed, loose []int
	for i := range w.b.Pieces {
		p := &w.b.Pieces[i]
		switch {
		case p.Border >= 0:
		case p.Row >= 0 && p.Grain.Up:
			rowed = append(rowed, i)
		default:
			loose = append(loose, i)
		}
	}
	switch {
	case len(loose) > 0: // one plank among blocks makes slices of the rest impossible
		w.pieces(append(rowed, loose...))
	default:
		w.rows(rowed)
	}
}

// sawn compares what the file saws off with what flattening takes [mm].
func (w *work) sawn(flatten float64) {
	switch more := w.slice - w.b.Thickness; {
	case flatten > more+snap:
		w.note("The file saws slices %s thicker than the board; the flattening worked out here takes %s.", w.size(more), w.size(flatten))
	case more > w.b.Thickness+flatten:
		w.note("The file saws slices of %s for a board of %s: more wood is planed off than stays.", w.size(w.slice), w.size(w.b.Thickness))
	}
}

// most is the longest stick of some stocks that is to be had and easy to handle, mm.
func (w *work) most(stocks ...string) float64 {
	most := w.l.use("longest")
	for _, key := range stocks {
		if has := w.reach[key]; has > 0 {
			most = math.Min(most, has)
		}
	}
	return most
}

// size tells a length in the units of the plan's texts.
func (w *work) size(mm float64) string { return size(w.units, mm) }

// species is the wood of a stock.
func (w *work) species(stock string) *wood.Species {
	s, err := wood.Find(w.b.Stock[stock].Species)
	if err != nil {
		panic("plan: the board names a wood nobody knows: " + err.Error()) // laying it out has found it
	}
	return s
}

// cell is one place of a row: a block, or a tile of several pieces.
type cell struct {
	pieces        []int
	width, height float64 // mm
}

// box is the extent of a piece, mm.
func box(p *layout.Piece) (lo, hi layout.XY) {
	lo, hi = p.Outline[0], p.Outline[0]
	for _, q := range p.Outline[1:] {
		for k := range q {
			lo[k], hi[k] = math.Min(lo[k], q[k]), math.Max(hi[k], q[k])
		}
	}
	return lo, hi
}

// cells sorts the pieces of a field of rows into its places.
func (w *work) cells(of []int) [][]cell {
	var rows [][]cell
	for _, i := range of {
		p := &w.b.Pieces[i]
		for len(rows) <= p.Row {
			rows = append(rows, nil)
		}
		for len(rows[p.Row]) <= p.Col {
			rows[p.Row] = append(rows[p.Row], cell{})
		}
		c := &rows[p.Row][p.Col]
		c.pieces = append(c.pieces, i)
	}
	for _, row := range rows {
		for k := range row {
			c := &row[k]
			lo, hi := layout.XY{math.Inf(1), math.Inf(1)}, layout.XY{math.Inf(-1), math.Inf(-1)}
			for _, i := range c.pieces {
				a, z := box(&w.b.Pieces[i])
				for j := range a {
					lo[j], hi[j] = math.Min(lo[j], a[j]), math.Max(hi[j], z[j])
				}
			}
			c.width, c.height = hi[0]-lo[0], hi[1]-lo[1]
		}
	}
	return rows
}

// turns are the ways a slice can lie: as it was cut, half a turn about the upright,
// over about its long edge, and both.
const turns = 4

// turnedPart is where a part of a tile goes in each turn.
var turnedPart = map[string][turns]string{
	"": {"", "", "", ""}, "n": {"n", "s", "s", "n"}, "s": {"s", "n", "n", "s"}, "e": {"e", "w", "e", "w"}, "w": {"w", "e", "w", "e"},
	"nw": {"nw", "se", "sw", "ne"}, "se": {"se", "nw", "ne", "sw"}, "ne": {"ne", "sw", "se", "nw"}, "sw": {"sw", "ne", "nw", "se"},
}

// part is the part of a tile that a piece is, "" for a whole block.
func part(p *layout.Piece) string {
	if _, suffix, cut := strings.Cut(p.ID, "."); cut {
		return suffix
	}
	return ""
}

// sign tells what a row is made of when it lies in one of the turns: rows of one sign
// are slices of one panel. Rings do not count here; see rings.
func (w *work) sign(row []cell, turn int) string {
	var b strings.Builder
	for k := range row {
		c := row[k]
		if turn == 1 || turn == 3 {
			c = row[len(row)-1-k]
		}
		var parts []string
		for _, i := range c.pieces {
			p := &w.b.Pieces[i]
			parts = append(parts, turnedPart[part(p)][turn]+":"+p.Stock)
		}
		slices.Sort(parts)
		fmt.Fprintf(&b, "%.2f×%.2f %s|", c.width, c.height, strings.Join(parts, " "))
	}
	return b.String()
}

// like is a set of rows that are slices of one panel, with the turn of each.
type like struct {
	rows  []int
	turns []int
}

// rows builds a field of rows from panels that are cut into slices, or, where hardly
// any row comes twice, from blocks that are glued into rows.
func (w *work) rows(of []int) {
	rows := w.cells(of)
	if len(rows) == 0 {
		return
	}
	kinds := w.kinds(rows)
	if len(rows) > 1 && 2*len(kinds) > len(rows)+1 {
		w.notes = append(w.notes, fmt.Sprintf("Hardly any of the %d rows comes twice, so no panel could be cut into slices: the blocks are cut from sticks and glued row by row.", len(rows)))
		w.blocks(rows)
		for r, row := range rows {
			w.glueRow(fmt.Sprintf("row %d", r+1), row)
		}
	} else {
		for k, kind := range kinds {
			w.panel(k, kind, rows)
		}
	}
	w.field(rows)
}

// kinds sorts rows by the panel they are slices of.
func (w *work) kinds(rows [][]cell) (kinds []like) {
	bySign := map[string]int{}
rows:
	for r, row := range rows {
		for turn := range turns {
			if k, known := bySign[w.sign(row, turn)]; known {
				kinds[k].rows, kinds[k].turns = append(kinds[k].rows, r), append(kinds[k].turns, turn)
				continue rows
			}
		}
		bySign[w.sign(row, 0)] = len(kinds)
		kinds = append(kinds, like{[]int{r}, []int{0}})
	}
	return kinds
}

// blocks lays out the sticks that single blocks are cut from: every block is a row of
// its own.
func (w *work) blocks(rows [][]cell) {
	var alone [][]cell
	for _, row := range rows {
		for k := range row {
			alone = append(alone, row[k:k+1])
		}
	}
	w.loose = true
	for k, kind := range w.kinds(alone) {
		count, length := w.lengths(len(kind.rows), w.stocks(alone[kind.rows[0]])...)
		use := ""
		for i, r := range kind.rows {
			id, _, _ := strings.Cut(w.b.Pieces[alone[r][0].pieces[0]].ID, ".")
			switch {
			case i < 3:
				use += ", " + id
			case i == 3:
				use += fmt.Sprintf(" and %d more", len(kind.rows)-3)
			}
		}
		w.cellStick(fmt.Sprintf("S%d", k+1), use[2:], kind, alone, 0, length, count)
	}
	w.loose = false
}

// lengths divides a number of slices among sticks that are handled easily and that
// their stocks are long enough for: how many sticks, and how long each is [mm].
func (w *work) lengths(n int, stocks ...string) (count int, length float64) {
	trim, each := 2*w.l.use("trim-end"), w.slice+w.kerf
	fit := max(1, int((w.most(stocks...)-trim)/each))
	count = (n + fit - 1) / fit
	per := (n + count - 1) / count
	length = float64(per)*each + trim
	for _, key := range stocks {
		if has := w.reach[key]; has > 0 && has < length && has >= length-trim-w.kerf {
			w.note("Stock %s is no longer than %s: that leaves %s to trim.", key, w.size(has), w.size(has-(length-trim-w.kerf)))
			length = has
		}
	}
	return count, length
}

// letter names panels A, B, … Z, AA.
func letter(k int) string {
	if k < 26 {
		return string(rune('A' + k))
	}
	return letter(k/26-1) + letter(k%26)
}

// panel lays out the sticks of one panel and its glue-up.
func (w *work) panel(k int, kind like, rows [][]cell) {
	name, row, n := letter(k), rows[kind.rows[0]], len(kind.rows)
	stocks := w.stocks(row)
	count, length := w.lengths(n, stocks...)
	p := Panel{Name: name, Sticks: len(row), Slices: n, Made: count, Thickness: row[0].height, Rows: make([]int, n), Length: length}
	for i, r := range kind.rows {
		p.Rows[i] = r + 1
		if kind.turns[i] != 0 {
			p.Turned++
		}
	}
	if count > 1 {
		w.divided(name, n, count, stocks)
	}
	g := joinery{name: "panel " + name, kind: "panel", times: count, run: p.Length, outer: math.Min(row[0].width, row[len(row)-1].width),
		thick: p.Thickness + 2*w.l.use("panel-face"), along: true, border: -1}
	var last string
	for c := range row {
		p.Width += row[c].width
		id := fmt.Sprintf("%s%d", name, c+1)
		w.cellStick(id, fmt.Sprintf("panel %s, %d of %d from the left", name, c+1, len(row)), kind, rows, c, p.Length, count)
		first := w.b.Pieces[row[c].pieces[0]].Stock
		if c > 0 {
			g.joints = append(g.joints, seam{p.Length * g.thick, [2]string{last, first}})
		}
		last = first
	}
	g.stack = p.Width
	if len(g.joints) > 0 {
		w.gluings = append(w.gluings, g)
	}
	w.panels = append(w.panels, p)
}

// stocks are those of a row.
func (w *work) stocks(row []cell) (keys []string) {
	for _, c := range row {
		for _, i := range c.pieces {
			if k := w.b.Pieces[i].Stock; !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
	}
	return keys
}

// divided notes that the slices of a panel are divided among several.
func (w *work) divided(name string, slices, count int, stocks []string) {
	w.note("Panel %s would be longer than %s: make %d, of %s or fewer each.", name, w.size(w.most(stocks...)), count, quantity.Count((slices+count-1)/count, "slice"))
}

// glueRow is the glue-up of one row of blocks.
func (w *work) glueRow(name string, row []cell) {
	g := joinery{name: name, kind: "row", times: 1, run: row[0].height, outer: math.Min(row[0].width, row[len(row)-1].width), thick: w.slice, ends: true, along: true, border: -1}
	for c := range row {
		g.stack += row[c].width
		if c > 0 {
			g.joints = append(g.joints, seam{row[c].height * w.slice, [2]string{w.b.Pieces[row[c-1].pieces[0]].Stock, w.b.Pieces[row[c].pieces[0]].Stock}})
		}
	}
	if len(g.joints) > 0 {
		w.gluings = append(w.gluings, g)
	}
}

// field is the glue-up of slices, or rows, into the field.
func (w *work) field(rows [][]cell) {
	g := joinery{name: "field", kind: "field", times: 1, thick: w.slice, ends: true, along: true, border: -1, outer: math.Min(rows[0][0].height, rows[len(rows)-1][0].height)}
	for r, row := range rows {
		width, softest := 0.0, row[0]
		for _, c := range row {
			width += c.width
			if w.gravity(w.b.Pieces[c.pieces[0]].Stock) < w.gravity(w.b.Pieces[softest.pieces[0]].Stock) {
				softest = c
			}
		}
		g.run, g.stack = math.Max(g.run, width), g.stack+row[0].height
		if r > 0 {
			s := w.b.Pieces[softest.pieces[0]].Stock
			g.joints = append(g.joints, seam{width * w.slice, [2]string{s, s}})
		}
	}
	if len(g.joints) > 0 {
		w.gluings = append(w.gluings, g)
	}
}

// gravity is the specific gravity of a stock at 12 % MC.
func (w *work) gravity(stock string) float64 {
	s := w.species(stock)
	if s.SG12.Known {
		return s.SG12.V
	}
	return s.SGBasic.V
}
