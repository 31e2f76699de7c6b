package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// Every board file kept in testdata can be drawn, whole and moved.
func TestEveryBoardFileIsDrawn(t *testing.T) {
	for _, name := range boardtest.Names(t) {
		t.Run(name, func(t *testing.T) {
			b := boardtest.Named(t, name)
			svg, err := Layout(b, tideMarks(b, nil))
			require.NoError(t, err)
			ns := nodes(t, svg)
			assert.Len(t, find(ns, "data-piece"), len(b.Pieces))
			assert.Len(t, find(ns, "data-joint"), len(b.Joints))
			_, err = movedBy(b, moveTest, DeformedOptions{})
			require.NoError(t, err)
			// What joints leave free is what the partition has no joint on.
			want := 0.0
			for _, e := range b.Partition.Edges {
				if e.Joint < 0 {
					want += segment(b.Partition.Vertices[e.V0], b.Partition.Vertices[e.V1])
				}
			}
			got := 0.0
			for _, e := range freeEdges(b, frame{k: 1, tall: b.Height}) {
				got += segment(e.from, e.to)
			}
			assert.InDelta(t, want, got, 1e-3*want) // mm; freeEdges drops crumbs below 0.2 % of a side
		})
	}
}

func BenchmarkLayoutB600(b *testing.B) {
	board, colours := b600()
	m := tideMarks(board, colours)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Layout(board, m); err != nil {
			b.Fatal(err)
		}
	}
}
