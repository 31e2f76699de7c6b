package layout_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/layout"
)

// BenchmarkRead times reading and cutting: the reference boards, a large grid,
// and free outlines. Pair and border variants differ too little to be measured.
func BenchmarkRead(b *testing.B) {
	for _, c := range []struct {
		name string
		src  []byte
	}{
		{"B48", boardgen.B48(8, 1)},
		{"B192", boardgen.B192(8, 1)},
		{"B600tiles", boardgen.B600(8, 1)},
		{"B600random", boardgen.B600(0, 1)},
		{"grid2400", boardgen.Grid(boardgen.Options{Rows: 40, Cols: 60, Kinds: 8, Seed: 1, RandomRings: true})},
		{"hexagons2500", []byte(hexagons(50, 50, 20))},
		{"hexagons20000", []byte(hexagons(100, 200, 10))},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				board, err := layout.Read(c.src)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(board.Pieces)), "pieces")
			}
		})
	}
}

// hexagons writes a honeycomb of regular hexagons of the given side [mm],
// standing on a corner, coordinates rounded to 0.001 mm.
func hexagons(rows, cols int, side float64) string {
	const half = 0.8660254037844386 // √3/2
	var b strings.Builder
	for i := range rows {
		for j := range cols {
			x := (2*float64(j) + float64(i%2)) * half * side
			y := 1.5 * side * float64(i)
			if b.Len() > 0 {
				b.WriteString(",")
			}
			fmt.Fprintf(&b, `{"stock": "%c", "outline": [`, "MW"[(i+j)%2])
			for k, c := range [][2]float64{{0, -1}, {half, -0.5}, {half, 0.5}, {0, 1}, {-half, 0.5}, {-half, -0.5}} {
				if k > 0 {
					b.WriteString(",")
				}
				fmt.Fprintf(&b, "[%.3f,%.3f]", x+c[0]*side, y+c[1]*side)
			}
			b.WriteString("]}")
		}
	}
	return file(`"field": {"pieces": [` + b.String() + `]}`)
}
