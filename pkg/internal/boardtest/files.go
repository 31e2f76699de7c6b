package boardtest

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Parse reads a board file.
func Parse(t testing.TB, src []byte) *layout.File {
	t.Helper()
	f, faults := layout.Parse(src)
	require.Empty(t, faults)
	return f
}

// Lay lays a file out.
func Lay(t testing.TB, f *layout.File) *layout.Board {
	t.Helper()
	b, faults := f.Board()
	require.Empty(t, faults)
	return b
}

// File reads a board file of testdata, with or without its ending.
func File(t testing.TB, name string) *layout.File {
	t.Helper()
	return Parse(t, Source(t, name))
}

// Grid is a board of blocks, every one with a wood, ring angle and moisture of its own.
func Grid(t testing.TB, rows, cols int, seed uint64) *layout.File {
	t.Helper()
	return Parse(t, boardgen.Grid(boardgen.Options{Rows: rows, Cols: cols, Block: 40, Seed: seed, RandomRings: true}))
}

// Framed is the smallest board in a glued frame of long grain: two blocks of one
// wood, rings crossed, a mitred border round them.
func Framed(t testing.TB, units string) *layout.File {
	t.Helper()
	block, border, thickness := "40", "15", "38"
	if units == "in" {
		block, border, thickness = "1.5", "0.5", "1.5"
	}
	return Parse(t, []byte(`{"tanrad":1,"units":"`+units+`","thickness":`+thickness+`,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"black-walnut","ring_angle":90,"moisture":8}},
		"field":{"grid":{"block":[`+block+`,`+block+`],"rows":["AB"]}},
		"borders":[{"stock":"B","grain":"along","width":`+border+`,"corner":"mitre"}]}`))
}

// Unlooked is three blocks in a row; nobody has looked at the rings of the outer two.
func Unlooked(t testing.TB) *layout.File {
	t.Helper()
	return Parse(t, []byte(`{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":"unknown","moisture":10},"W":{"species":"black-walnut","ring_angle":35,"moisture":8}},
		"field":{"pieces":[{"stock":"M","outline":[[0,0],[40,0],[40,40],[0,40]]},{"stock":"W","outline":[[40,0],[80,0],[80,40],[40,40]]},{"stock":"M","outline":[[80,0],[120,0],[120,40],[80,40]]}]}}`))
}
