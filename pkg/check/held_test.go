package check

import (
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// What held boards take is what they are said to take: a service keeps to its memory by
// what it is told. Boards cut along a split have hardly two elements alike.
func TestHeldBoardsWeighWhatTheySay(t *testing.T) {
	if testing.Short() {
		t.Skip("times the collector")
	}
	c := Conditions{NoHistories: true, NoCracks: true, NoChance: true, NoCauses: true, Cache: NewCache(1 << 20)}
	s := NewSession(1 << 40)
	var heap, said int64
	for n := range 4 {
		rings := fmt.Sprintf(`"A":{"species":"sugar-maple","ring_angle":%d,"moisture":8},"B":{"species":"black-walnut","ring_angle":%d,"moisture":8}`, 20+7*n, 70+9*n)
		board := `{"tanrad":1,"units":"mm","thickness":30,"stock":{` + rings + `},"field":{"grid":{"block":[40,40],"rows":["ABAB","BABA","ABAB"]}}}`
		_, err := s.Board(t.Context(), boardtest.Text(t, board), c)
		require.NoError(t, err)
		if n == 0 {
			heap, said = live(), s.Bytes() // with what is kept beside the boards: plans, slabs at rest
		}
	}
	heap, said = live()-heap, s.Bytes()-said
	t.Logf("three boards take %d MB and say %d", heap>>20, said>>20)
	assert.InEpsilon(t, float64(heap), float64(said), 0.25)
}

// live is what lives in the heap, bytes.
func live() int64 {
	runtime.GC()
	runtime.GC() // what had a finalizer goes with the second
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
