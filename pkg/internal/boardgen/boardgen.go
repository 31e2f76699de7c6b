// Package boardgen writes board files of any size for tests and benchmarks:
// grids of square blocks with a given number of kinds of wood, ring angles alike
// or random, and some cells cut into quarter-square triangles. The same
// arguments give the same bytes.
package boardgen

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Options describes a grid board.
type Options struct {
	Rows, Cols  int
	Block       float64 // mm, side of a block; 0 means 20
	Thickness   float64 // mm; 0 means 40
	Kinds       int     // kinds of block that recur, and half as many kinds of tile; 0 makes every block a kind of its own
	Seed        uint64
	RandomRings bool    // each kind has its own ring angle; otherwise all have 0
	Tiles       bool    // about a third of the cells are cut on both diagonals
	Border      float64 // mm, width of a butt border with grain along; 0 for none
}

// The reference boards of the benchmarks: 8×6, 16×12 and 30×20 blocks (columns
// by rows), ring angles random; B600 has quarter-square tiles in a third of its
// cells. kinds as in Options.
func B48(kinds int, seed uint64) []byte {
	return Grid(Options{Rows: 6, Cols: 8, Kinds: kinds, Seed: seed, RandomRings: true})
}

// B192 is 16×12 blocks, see B48.
func B192(kinds int, seed uint64) []byte {
	return Grid(Options{Rows: 12, Cols: 16, Kinds: kinds, Seed: seed, RandomRings: true})
}

// B600 is 30×20 blocks, a third of them quartered, see B48.
func B600(kinds int, seed uint64) []byte {
	return Grid(Options{Rows: 20, Cols: 30, Kinds: kinds, Seed: seed, RandomRings: true, Tiles: true})
}

var woods = []string{"sugar-maple", "black-walnut", "black-cherry", "american-beech", "white-ash", "yellow-birch"}

// Grid writes a board file. It panics on fewer than one row or column: that is
// a fault of the test that asks.
func Grid(o Options) []byte {
	if o.Rows < 1 || o.Cols < 1 {
		panic(fmt.Sprintf("boardgen: %d×%d blocks", o.Cols, o.Rows))
	}
	if o.Block == 0 {
		o.Block = 20
	}
	if o.Thickness == 0 {
		o.Thickness = 40
	}
	g := &generator{o: o, rng: rand.New(rand.NewPCG(o.Seed, 0x7a6)), file: &layout.File{
		Name: fmt.Sprintf("grid %d by %d", o.Cols, o.Rows), Units: "mm", Thickness: layout.Length(o.Thickness), Stock: map[string]layout.Material{},
		Glue: "pva-crosslinking", Finish: "mineral-oil-wax", GlueUp: &moisture.Room{Humidity: 45, Temperature: 20},
	}}
	f := g.file
	for k := range o.Kinds {
		g.newStock(fmt.Sprintf("k%d", k+1))
	}
	for k := 0; o.Tiles && 2*k < o.Kinds; k++ {
		g.newTile(fmt.Sprintf("t%d", k+1), "")
	}
	rows := make([]layout.Row, o.Rows)
	for i := range rows {
		rows[i].Keys = make([]string, o.Cols)
		for j := range rows[i].Keys {
			rows[i].Keys[j] = g.cell(i, j)
		}
	}
	side := layout.Length(o.Block)
	f.Field.Grid = &layout.Grid{Block: &[2]layout.Length{side, side}, Rows: rows}
	if o.Border > 0 {
		mc := 8.0
		f.Stock["border"] = layout.Material{Species: "black-walnut", Ring: layout.RingAt(90), Moisture: &mc}
		f.Borders = []layout.Edging{{Stock: "border", Grain: "along", Width: layout.Length(o.Border), Sides: []string{"left", "right", "top", "bottom"}}}
	}
	return f.JSON()
}

type generator struct {
	o    Options
	rng  *rand.Rand
	file *layout.File
}

func (g *generator) newStock(key string) string {
	// One moisture a wood: each came as one batch from one rack.
	wood := g.rng.IntN(len(woods))
	mc := 7 + 0.4*float64(wood)
	ring := 0.0
	if g.o.RandomRings {
		ring = math.Round(3600*g.rng.Float64()-1800) / 10
	}
	g.file.Stock[key] = layout.Material{Species: woods[wood], Ring: layout.RingAt(ring), Moisture: &mc}
	return key
}

// kind is a stock for one piece: one of those that recur, or a new one.
func (g *generator) kind(key string) string {
	if g.o.Kinds > 0 {
		return fmt.Sprintf("k%d", 1+g.rng.IntN(g.o.Kinds))
	}
	return g.newStock(key)
}

func (g *generator) cell(i, j int) string {
	name := fmt.Sprintf("r%dc%d", i+1, j+1)
	if !g.o.Tiles || g.rng.IntN(3) > 0 {
		return g.kind(name)
	}
	if g.o.Kinds > 0 {
		return fmt.Sprintf("t%d", 1+g.rng.IntN(len(g.file.Tiles)))
	}
	g.newTile("t"+name, name)
	return "t" + name
}

func (g *generator) newTile(key, name string) {
	t := layout.Tile{Cut: "both"}
	for _, q := range []string{"n", "e", "s", "w"} {
		t.Stock = append(t.Stock, g.kind(name+q))
	}
	if g.file.Tiles == nil {
		g.file.Tiles = map[string]layout.Tile{}
	}
	g.file.Tiles[key] = t
}

// Reference are the boards that benchmarks measure: 8×6 and 16×12 blocks, and 30×20 blocks of which a third
// are cut in four triangles; rings all different, or eight kinds of block.
var Reference = []struct {
	Name  string
	Board []byte
}{
	{"B48-different", B48(0, 1)},
	{"B48-eight", B48(8, 1)},
	{"B192-different", B192(0, 1)},
	{"B192-eight", B192(8, 1)},
	{"B600-eight", B600(8, 1)},
}
