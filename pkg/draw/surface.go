package draw

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"
)

// Grid is a surface of heights over a rectangle: Z[j][i] [mm] stands over
// X[i], Y[j] [mm], both rising, at least two of each.
type Grid struct {
	X, Y []float64
	Z    [][]float64
}

// SurfaceOptions are the words and sizes of a picture of a surface.
type SurfaceOptions struct {
	Title, Subtitle string
	Exaggeration    float64  // how many times larger heights are drawn; 0 chooses a round number
	Notes           []string // lines below, as "cup 0.8 mm over 240 mm"
	Inches          bool
	Width           int // px, 0 means 600
}

// view is the direction of sight: turned about the upright and tilted.
type view struct{ st, ct, sp, cp float64 }

func newView(turn, tilt float64) view {
	st, ct := math.Sincos(turn * math.Pi / 180)
	sp, cp := math.Sincos(tilt * math.Pi / 180)
	return view{st, ct, sp, cp}
}

// flat projects without perspective; the picture's y points down.
func (v view) flat(x, y, z float64) xy {
	return xy{x*v.ct - y*v.st, -(x*v.st+y*v.ct)*v.sp - z*v.cp}
}

// depth grows away from the eye.
func (v view) depth(x, y float64) float64 { return x*v.st + y*v.ct }

// flatSpan is the span of heights [mm] below which a board is not bent: less is round-off.
const flatSpan = 1e-9

// Surface draws a height surface, as of a board that has cupped, bowed or
// twisted, from the side above: pale where low, dark where high, with the
// corner heights, a scale of heights and the exaggeration written out. It
// returns an error when the grid is not a full rectangle or not finite.
func Surface(g Grid, o SurfaceOptions) ([]byte, error) {
	if err := checkGrid(g); err != nil {
		return nil, err
	}
	if err := finite("exaggeration", o.Exaggeration); err != nil {
		return nil, err
	}
	lo, hi := rangeOfGrid(g)
	w, h := g.X[len(g.X)-1]-g.X[0], g.Y[len(g.Y)-1]-g.Y[0]
	e := o.Exaggeration
	if e <= 0 {
		e = roundFactor(0.2 * math.Max(w, h) / (hi - lo))
	}
	g = resampled(g, 25)
	v := newView(28, 34)

	var c canvas
	top := heading(&c, o.Title, o.Subtitle, heightColour(1).hex())
	// The corners of the base and of the highest plane bound the drawing.
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, x := range []float64{g.X[0], g.X[0] + w} {
		for _, y := range []float64{g.Y[0], g.Y[0] + h} {
			for _, z := range []float64{0, e * (hi - lo)} {
				p := v.flat(x, y, z)
				x0, x1, y0, y1 = math.Min(x0, p[0]), math.Max(x1, p[0]), math.Min(y0, p[1]), math.Max(y1, p[1])
			}
		}
	}
	const left, right, tallest = side + 26, 132.0, 380.0
	k := math.Min((picWidth-left-right)/(x1-x0), tallest/(y1-y0))
	dx := left + ((picWidth-left-right)-k*(x1-x0))/2
	at := func(x, y, z float64) xy {
		p := v.flat(x, y, e*(z-lo))
		return xy{dx + k*(p[0]-x0), top + 14 + k*(p[1]-y0)}
	}
	bottom := top + 14 + k*(y1-y0)

	base := []xy{at(g.X[0], g.Y[0], lo), at(g.X[0]+w, g.Y[0], lo), at(g.X[0]+w, g.Y[0]+h, lo), at(g.X[0], g.Y[0]+h, lo)}
	c.el("path", "d", ringPath(base), "fill", "#e9e4da", "stroke", mutedColour, "stroke-width", "0.8", "stroke-dasharray", "4 3")
	drawPosts(&c, g, at, lo)
	drawMesh(&c, g, v, at, e, lo, hi)
	drawCorners(&c, g, at, lo, o.Inches)
	label := func(a, b xy, mm float64, anchor string) {
		c.label((a[0]+b[0])/2, (a[1]+b[1])/2+19, 12, length(mm, o.Inches)+" "+unitOf(o.Inches), "text-anchor", anchor, "fill", mutedColour)
	}
	label(base[0], base[1], w, "start")
	label(base[3], base[0], h, "end")
	drawHeights(&c, lo, hi, e*k*v.cp, picWidth-side-56, top+14, bottom, o.Inches)

	words, notes := fmt.Sprintf("Heights drawn %s times larger; they span %s.", sig(e, 4), length2(hi-lo, o.Inches)), o.Notes
	if hi-lo < flatSpan {
		words, notes = "It stays flat: nothing bends it.", nil
	}
	bottom += 42
	c.label(side, bottom, 12.5, words)
	for _, n := range notes {
		for _, l := range wrap(n, 12.5, picWidth-2*side, 2) {
			bottom += 18
			c.label(side, bottom, 12.5, l, "fill", mutedColour)
		}
	}
	desc := strings.TrimSpace(words + " " + strings.Join(notes, " "))
	return c.finish(o.Width, bottom+18, brief(o.Title), brief(desc)), nil
}

func checkGrid(g Grid) error {
	if len(g.X) < 2 || len(g.Y) < 2 {
		return errors.New("draw: a surface needs two columns and two rows")
	}
	if len(g.Z) != len(g.Y) {
		return fmt.Errorf("draw: %d rows of heights for %d places in y", len(g.Z), len(g.Y))
	}
	if err := finite("places in x", g.X...); err != nil {
		return err
	}
	if err := finite("places in y", g.Y...); err != nil {
		return err
	}
	for j, row := range g.Z {
		if len(row) != len(g.X) {
			return fmt.Errorf("draw: row %d has %d heights for %d places in x", j, len(row), len(g.X))
		}
		if err := finite(fmt.Sprintf("heights of row %d", j), row...); err != nil {
			return err
		}
	}
	for _, s := range [][]float64{g.X, g.Y} {
		for i := 1; i < len(s); i++ {
			if s[i] <= s[i-1] {
				return errors.New("draw: places of a surface must rise")
			}
		}
	}
	return nil
}

func rangeOfGrid(g Grid) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, row := range g.Z {
		for _, z := range row {
			lo, hi = math.Min(lo, z), math.Max(hi, z)
		}
	}
	return lo, hi
}

// resampled gives the surface on at most n even columns and rows, which is
// what a picture can show; heights between the places given are bilinear.
func resampled(g Grid, n int) Grid {
	even := func(s []float64) []float64 {
		m := min(len(s), n)
		out := make([]float64, m)
		for i := range out {
			out[i] = s[0] + (s[len(s)-1]-s[0])*float64(i)/float64(m-1)
		}
		return out
	}
	out := Grid{X: even(g.X), Y: even(g.Y)}
	for _, y := range out.Y {
		j, ty := cellOf(g.Y, y)
		row := make([]float64, len(out.X))
		for i, x := range out.X {
			k, tx := cellOf(g.X, x)
			row[i] = (1-ty)*((1-tx)*g.Z[j][k]+tx*g.Z[j][k+1]) + ty*((1-tx)*g.Z[j+1][k]+tx*g.Z[j+1][k+1])
		}
		out.Z = append(out.Z, row)
	}
	return out
}

// cellOf finds the interval of s that holds v, and the place in it from 0 to 1.
func cellOf(s []float64, v float64) (int, float64) {
	k := min(max(sort.SearchFloat64s(s, v)-1, 0), len(s)-2)
	return k, math.Min(math.Max((v-s[k])/(s[k+1]-s[k]), 0), 1)
}

// heightColour runs from low (0) to high (1), pale to dark.
func heightColour(t float64) rgb {
	a, _ := parseHex("#f6ead2")
	b, _ := parseHex("#c98a54")
	d, _ := parseHex("#5f3220")
	if t < 0.5 {
		return mix(a, b, 2*t)
	}
	return mix(b, d, 2*t-1)
}

// drawMesh paints the cells from the far end to the near one.
func drawMesh(c *canvas, g Grid, v view, at func(x, y, z float64) xy, e, lo, hi float64) {
	type cell struct {
		depth float64
		path  string
		fill  string
	}
	var cells []cell
	light := unit3([3]float64{-0.5, -0.35, 0.8})
	for j := 0; j+1 < len(g.Y); j++ {
		for i := 0; i+1 < len(g.X); i++ {
			x0, x1, y0, y1 := g.X[i], g.X[i+1], g.Y[j], g.Y[j+1]
			a, b, d, f := g.Z[j][i], g.Z[j][i+1], g.Z[j+1][i+1], g.Z[j+1][i]
			sx := e * ((b + d) - (a + f)) / 2 / (x1 - x0)
			sy := e * ((d + f) - (a + b)) / 2 / (y1 - y0)
			n := unit3([3]float64{-sx, -sy, 1})
			shine := n[0]*light[0] + n[1]*light[1] + n[2]*light[2] - light[2]
			t := 0.5
			if hi > lo {
				t = ((a+b+d+f)/4 - lo) / (hi - lo)
			}
			cells = append(cells, cell{
				depth: v.depth((x0+x1)/2, (y0+y1)/2),
				path:  ringPath([]xy{at(x0, y0, a), at(x1, y0, b), at(x1, y1, d), at(x0, y1, f)}),
				fill:  lighten(heightColour(t), 0.22*shine).hex(),
			})
		}
	}
	sort.SliceStable(cells, func(i, k int) bool { return cells[i].depth > cells[k].depth })
	c.begin("g", "data-layer", "surface", "stroke", "#6b5640", "stroke-width", "0.35", "stroke-linejoin", "round")
	for _, q := range cells {
		c.el("path", "d", q.path, "fill", q.fill)
	}
	c.end()
}

func unit3(a [3]float64) [3]float64 {
	l := math.Sqrt(a[0]*a[0] + a[1]*a[1] + a[2]*a[2])
	return [3]float64{a[0] / l, a[1] / l, a[2] / l}
}

// drawPosts stands the four corners on the plane of the lowest point; the
// surface, drawn later, hides the posts behind it.
func drawPosts(c *canvas, g Grid, at func(x, y, z float64) xy, lo float64) {
	for _, j := range []int{0, len(g.Y) - 1} {
		for _, i := range []int{0, len(g.X) - 1} {
			p, foot := at(g.X[i], g.Y[j], g.Z[j][i]), at(g.X[i], g.Y[j], lo)
			c.el("path", "d", pathOf([]arcLine{{from: p, to: foot}}), "stroke", inkColour, "stroke-width", "1", "stroke-dasharray", "2 2")
		}
	}
}

// drawCorners writes the height of the four corners above the lowest point.
func drawCorners(c *canvas, g Grid, at func(x, y, z float64) xy, lo float64, inch bool) {
	c.begin("g", "data-layer", "corners")
	for _, j := range []int{0, len(g.Y) - 1} {
		for _, i := range []int{0, len(g.X) - 1} {
			p := at(g.X[i], g.Y[j], g.Z[j][i])
			c.el("circle", "cx", num(p[0]), "cy", num(p[1]), "r", "2.6", "fill", inkColour)
			anchor, dx := "end", -7.0
			if i > 0 {
				anchor, dx = "start", 7
			}
			text := sig(math.Round((g.Z[j][i]-lo)*100)/100, 3)
			if inch {
				text = sig(math.Round((g.Z[j][i]-lo)/25.4*1000)/1000, 3)
			}
			c.label(p[0]+dx, p[1]-5, 12, text, "text-anchor", anchor, "font-weight", "600",
				"stroke", cardColour, "stroke-width", "3.2", "paint-order", "stroke", "stroke-linejoin", "round")
		}
	}
	c.end()
}

// drawHeights is the scale of heights, as long as it is in the drawing.
func drawHeights(c *canvas, lo, hi, perMM, x, top, bottom float64, inch bool) {
	unit, name := 1.0, "mm"
	if inch {
		unit, name = 25.4, "in"
	}
	span := (hi - lo) / unit
	if span <= 0 {
		return
	}
	long := span * unit * perMM
	y0 := math.Min((top+bottom+long)/2, bottom)
	const steps = 16
	c.begin("g", "data-layer", "heights")
	for i := range steps {
		c.el("rect", "x", num(x), "y", num(y0-long*float64(i+1)/steps), "width", "12", "height", num(long/steps+0.3),
			"fill", heightColour((float64(i)+0.5)/steps).hex())
	}
	c.el("rect", "x", num(x), "y", num(y0-long), "width", "12", "height", num(long), "fill", "none", "stroke", inkColour, "stroke-width", "0.8")
	ts := ticks(0, span, int(math.Max(2, long/26)))
	for _, k := range ts {
		y := y0 - long*k/span
		c.el("path", "d", "M"+num(x+12)+" "+num(y)+"h4", "stroke", inkColour, "stroke-width", "0.8")
		c.label(x+20, y+4, 11.5, tickText(k, leastStep(ts)), "fill", mutedColour)
	}
	c.label(x, y0-long-9, 11.5, name, "fill", mutedColour)
	c.end()
}
