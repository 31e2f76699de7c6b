package boardgen

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

type object = map[string]any

// Any writes a small board file of any layout: grids of equal and unequal blocks,
// bricks, tiles, slices with every turn, free pieces, planks, with borders of
// every sort, piths, inches, homes and exposures. The same seed gives the same
// bytes. Most can be built; now and then a contact comes out too short, which is
// a fault of the file like any other.
func Any(seed uint64) []byte {
	a := &author{rng: rand.New(rand.NewPCG(seed, 0xb0a2)), stock: object{}}
	a.scale = 1
	units := "mm"
	if a.chance(0.15) {
		units, a.scale = "in", 1/25.4
	}
	for range 2 + a.rng.IntN(3) {
		a.newStock(a.chance(0.1))
	}
	file := object{"tanrad": 1, "name": fmt.Sprintf("board %d", seed), "units": units, "thickness": a.length(18, 50), "stock": a.stock}
	field, rectangle := a.field(file)
	file["field"] = field
	if rectangle && a.chance(0.4) {
		file["borders"] = a.borders()
	}
	file["glue"] = pick(a, "pva", "pva-crosslinking", "epoxy", "animal-glue")
	if a.chance(0.5) {
		file["finish"] = "mineral-oil-wax"
	}
	switch a.rng.IntN(3) {
	case 0:
		file["home"] = pick(a, "continental-heated", "maritime-temperate", "mountain-dry", "arid-cooled")
	case 1:
		months := make([]object, 12)
		for i := range months {
			months[i] = object{"humidity": 25 + a.rng.IntN(50), "temperature": 15 + a.rng.IntN(12)}
		}
		file["home"] = object{"months": months}
	}
	if a.chance(0.2) {
		file["exposures"] = []object{{"name": pick(a, "wash-one-face", "flat-on-wet-counter", "flat-on-dry-counter", "dry-spell")}}
	}
	src, err := json.MarshalIndent(file, "", " ")
	if err != nil {
		panic("boardgen: " + err.Error()) // only finite numbers and strings are in there
	}
	return src
}

// author is one board in the making.
type author struct {
	rng   *rand.Rand
	stock object
	keys  []string
	scale float64 // units of the file over mm
}

func (a *author) chance(p float64) bool { return a.rng.Float64() < p }

func pick(a *author, list ...string) string { return list[a.rng.IntN(len(list))] }

// length draws a length of whole mm from lo to hi, in the units of the file.
func (a *author) length(lo, hi float64) float64 {
	return math.Round(math.Round(lo+(hi-lo)*a.rng.Float64())*a.scale*1e6) / 1e6
}

// newStock adds a wood of one letter.
func (a *author) newStock(pith bool) string {
	key := string(rune('A' + len(a.keys)))
	s := object{"species": woods[a.rng.IntN(len(woods))]}
	if pith {
		s["pith"] = []float64{a.length(60, 90), a.length(-20, 20)}
	} else {
		s["ring_angle"] = pickNumber(a, 0, 90, float64(a.rng.IntN(360)-179))
	}
	if a.chance(0.8) {
		s["moisture"] = 6 + float64(a.rng.IntN(60))/10
	}
	a.stock[key] = s
	a.keys = append(a.keys, key)
	return key
}

func pickNumber(a *author, list ...float64) float64 { return list[a.rng.IntN(len(list))] }

func (a *author) letter() string { return pick(a, a.keys...) }

// field draws a field and whether it fills a rectangle.
func (a *author) field(file object) (field object, rectangle bool) {
	switch a.rng.IntN(6) {
	case 0:
		return object{"grid": a.grid()}, true
	case 1:
		g := object{"block": []float64{a.length(40, 60), a.length(20, 35)}, "rows": a.rows(2+a.rng.IntN(3), 2+a.rng.IntN(3), a.keys), "stagger": 0.5}
		if a.chance(0.5) {
			g["ends"] = "trimmed"
			return object{"grid": g}, true
		}
		return object{"grid": g}, false
	case 2:
		tiles := object{"r": object{"cut": "rising", "stock": []string{a.letter(), a.letter()}}, "f": object{"cut": "falling", "stock": []string{a.letter(), a.letter()}},
			"b": object{"cut": "both", "stock": []string{a.letter(), a.letter(), a.letter(), a.letter()}}}
		file["tiles"] = tiles
		side := a.length(30, 50)
		return object{"grid": object{"block": []float64{side, side}, "rows": a.rows(1+a.rng.IntN(3), 2+a.rng.IntN(2), append([]string{"r", "f", "b"}, a.keys...))}}, true
	case 3:
		return object{"slices": a.slices()}, true
	case 4:
		return object{"pieces": a.fan()}, false
	}
	return object{"pieces": a.planks()}, true
}

func (a *author) rows(rows, cols int, from []string) []string {
	out := make([]string, rows)
	for r := range out {
		for range cols {
			out[r] += pick(a, from...)
		}
	}
	return out
}

// grid has equal blocks, or columns and rows of their own sizes.
func (a *author) grid() object {
	rows, cols := 1+a.rng.IntN(4), 1+a.rng.IntN(5)
	g := object{"rows": a.rows(rows, cols, a.keys)}
	if a.chance(0.6) {
		g["block"] = []float64{a.length(25, 60), a.length(25, 60)}
		return g
	}
	wide, high := make([]float64, cols), make([]float64, rows)
	for i := range wide {
		wide[i] = a.length(12, 60)
	}
	for i := range high {
		high[i] = a.length(20, 60)
	}
	g["columns"], g["row_heights"] = wide, high
	return g
}

// slices has strips, mostly as wide as they are high so that they can be turned.
func (a *author) slices() object {
	height := a.length(25, 45)
	var strips [][]any
	for range 2 + a.rng.IntN(4) {
		width := height
		if a.chance(0.4) {
			width = a.length(15, 60)
		}
		strips = append(strips, []any{a.letter(), width})
	}
	return object{"strips": strips, "height": height, "count": 1 + a.rng.IntN(5), "turn": pick(a, "none", "end-for-end", "over", "both")}
}

// fan is a hexagon of six triangles, some of them doubled outwards by rhombs.
func (a *author) fan() []object {
	r := a.length(40, 70)
	at := func(k int, r float64) []float64 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 3)
		return []float64{math.Round(r*cos*1e6) / 1e6, math.Round(r*sin*1e6) / 1e6}
	}
	var out []object
	for k := range 6 {
		p := object{"stock": a.letter(), "outline": [][]float64{{0, 0}, at(k, r), at(k+1, r)}}
		if a.chance(0.5) {
			p["ring_angle"] = a.rng.IntN(360) - 179
		}
		out = append(out, p)
		if a.chance(0.3) {
			x, y := at(k, r), at(k+1, r)
			out = append(out, object{"stock": a.letter(), "outline": [][]float64{x, {x[0] + y[0], x[1] + y[1]}, y}})
		}
	}
	return out
}

// planks lie side by side with their fibres in the face, some across.
func (a *author) planks() []object {
	long := a.length(120, 300)
	y := 0.0
	var out []object
	for range 1 + a.rng.IntN(4) {
		h := a.length(30, 80)
		grain := 0
		if a.chance(0.15) {
			grain = 90
		}
		out = append(out, object{"stock": a.letter(), "grain": grain, "ring_angle": a.rng.IntN(91), "outline": [][]float64{{0, y}, {long, y}, {long, y + h}, {0, y + h}}})
		y += h
	}
	return out
}

func (a *author) borders() []object {
	b := object{"stock": a.letter(), "grain": pick(a, "along", "up"), "width": a.length(8, 35)}
	if a.chance(0.3) {
		b["corner"] = "mitre"
		return []object{b}
	}
	b["sides"] = []string{"left", "right"}
	if b["grain"] == "up" && a.chance(0.5) {
		b["blocks"] = 1 + a.rng.IntN(4)
	}
	out := []object{b}
	if a.chance(0.5) {
		out = append(out, object{"stock": a.letter(), "grain": pick(a, "along", "up"), "width": a.length(8, 35), "sides": []string{"top", "bottom"}})
	}
	return out
}
