package influence

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

func grid(units string, block float64, rows, cols int, stock func(i int) string) string {
	var defs, lines []string
	for r := range rows {
		var cells []string
		for c := range cols {
			i := r*cols + c
			defs = append(defs, fmt.Sprintf(`"k%d":%s`, i, stock(i)))
			cells = append(cells, fmt.Sprintf(`"k%d"`, i))
		}
		lines = append(lines, "["+strings.Join(cells, ",")+"]")
	}
	return fmt.Sprintf(`{"tanrad":1,"units":%q,"thickness":%g,"stock":{%s},"field":{"grid":{"block":[%g,%g],"rows":[%s]}}}`,
		units, map[string]float64{"mm": 40, "in": 1.5}[units], strings.Join(defs, ","), block, block, strings.Join(lines, ","))
}

func straight(i int) string {
	return fmt.Sprintf(`{"species":"sugar-maple","ring_angle":%d,"moisture":8}`, i%2*90)
}

func withPith(i int) string { return `{"species":"sugar-maple","moisture":8,"pith":[-4,-4]}` }

func own(i int) string {
	return fmt.Sprintf(`{"species":"sugar-maple","ring_angle":%d,"moisture":%.4f}`, i%2*90, 6+0.001*float64(i))
}

func ofEveryWood(i int) string {
	all := wood.All()
	return fmt.Sprintf(`{"species":%q,"ring_angle":0,"moisture":8}`, all[i%len(all)].ID)
}

// Boards that took the machine down are refused before anything is made, with
// the key to blame and the size that would do.
func TestBoardsAreBoundedByWhatTheyCost(t *testing.T) {
	const place = 2 << 30
	quick := Options{Budget: place}
	full := Options{Bending: true, Budget: place}
	for name, c := range map[string]struct {
		board   string
		cond    Options
		pointer string
		says    string
	}{
		"a block of 9 m with a pith":           {`{"tanrad":1,"units":"mm","thickness":40,"stock":{"M":{"species":"sugar-maple","moisture":8,"pith":[-4499,-4499]}},"field":{"grid":{"block":[9000,9000],"rows":["M"]}}}`, quick, "/field/grid/rows/0", "about"},
		"inches for millimetres":               {grid("in", 40, 6, 8, straight), full, "/field/grid/rows/0", "did you mean mm?"},
		"four blocks of 2.5 m":                 {grid("mm", 2500, 2, 2, straight), full, "/field/grid/rows/0", "about"},
		"240 blocks, elements halved twice":    {grid("mm", 40, 12, 20, straight), Options{Bending: true, Refine: 2, Budget: place}, "/refine", "0 to 1"},
		"3,969 blocks of every wood there is":  {grid("mm", 40, 63, 63, ofEveryWood), full, "/stock", "kinds"},
		"4,000 blocks with their histories":    {grid("mm", 40, 50, 80, straight), full, "/field", "pieces like these"},
		"100 piths in blocks of 1,000 by 1000": {grid("mm", 1000, 9, 9, withPith), quick, "/field", "pieces"},
	} {
		b, err := layout.Read([]byte(c.board))
		require.NoError(t, err, name)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		began := time.Now()
		_, err = Prepare(t.Context(), b, c.cond)
		runtime.ReadMemStats(&after)
		var list fault.List
		if !assert.ErrorAs(t, err, &list, name) {
			continue
		}
		assert.Equal(t, fault.TooLarge, list[0].Rule, name)
		assert.True(t, strings.HasPrefix(list[0].Pointer, c.pointer), "%s: %s", name, list[0].Pointer)
		assert.Contains(t, list.Error()+list[0].Found, c.says, name)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(200<<20), "%s", name) // reading is not counted; kinds and stops are
		assert.Less(t, time.Since(began), 20*time.Second, name)
	}
}

// The size that a refusal names is one that is taken.
func TestTheSizeThatWouldDoDoes(t *testing.T) {
	cond := Options{Budget: 64 << 20}
	b, err := layout.Read([]byte(grid("mm", 3000, 1, 2, straight)))
	require.NoError(t, err)
	_, err = Prepare(t.Context(), b, cond)
	var list fault.List
	require.ErrorAs(t, err, &list)
	var w, h float64
	_, err = fmt.Sscanf(list[0].Allowed, "about %f × %f mm", &w, &h)
	require.NoError(t, err)
	b, err = layout.Read([]byte(grid("mm", 0.9*w, 1, 2, straight)))
	require.NoError(t, err)
	_, err = Prepare(t.Context(), b, cond)
	assert.NoError(t, err)
}

// Load cases go through in batches: what is held while they do does not grow
// with the number of kinds, but for the tables.
func TestKindsAreSolvedInBatches(t *testing.T) {
	b, err := layout.Read([]byte(grid("mm", 40, 12, 16, ofEveryWood)))
	require.NoError(t, err)
	m, err := Prepare(t.Context(), b, Options{})
	require.NoError(t, err)
	require.Len(t, m.Kinds, 192)
	x := m.Stretched(&Load{Mean: m.same(1)})
	// one per cent on every kind by batches is one per cent on the board at once
	f := m.Plate.Forces(0, m.Joints[7].Trace, [][]float64{x}, [][]float64{m.amountsOf(m.same(1))})
	for w := range m.Joints[7].Intervals {
		var sum MeanTraction
		for k := range m.Kinds {
			sum.N += m.Joints[7].Membrane[w*len(m.Kinds)+k].N
			sum.T += m.Joints[7].Membrane[w*len(m.Kinds)+k].T
		}
		want := mean(&m.Joints[7].Intervals[w], f[0])
		assert.InDelta(t, want.N, sum.N, 1e-8)
		assert.InDelta(t, want.T, sum.T, 1e-8)
	}
}

// A careful maker's thousand blocks, each with the moisture that was measured, are solved
// in 460 MB of heap; two hundred in 140.
func TestMeasuredBlocksFit(t *testing.T) {
	rows, cols := 10, 20
	if boardtest.Long() {
		rows, cols = 25, 40
	}
	b, err := layout.Read([]byte(grid("mm", 40, rows, cols, func(i int) string {
		return fmt.Sprintf(`{"species":%q,"ring_angle":%d,"moisture":%.4f}`, [2]string{"sugar-maple", "black-walnut"}[i%2], 37*i%180-90, 6+0.0371*float64(29*i%97)+1e-4*float64(i))
	})))
	require.NoError(t, err)
	most := 60_000_000 + uint64(rows*cols)*400_000 // what the program takes anyway, and the blocks
	old := debug.SetMemoryLimit(int64(most))
	t.Cleanup(func() { debug.SetMemoryLimit(old) })
	m, err := Prepare(t.Context(), b, Options{Budget: 2 << 30, Cache: NewCache(1 << 20)}) // nothing is kept for the next board
	require.NoError(t, err)
	runtime.GC()
	var now runtime.MemStats
	runtime.ReadMemStats(&now)
	t.Logf("%d blocks, %d kinds, %d elements: %d MB, %d MB in use at most", rows*cols, len(m.Kinds), len(m.Mesh.Elements), now.HeapAlloc/1e6, now.HeapSys/1e6)
	assert.Less(t, now.HeapAlloc, most)
	_, err = m.WorstUniform(t.Context(), &Demand{NoHistories: true})
	require.NoError(t, err)
}

// Whoever leaves frees his place: every stage looks at the context.
func TestPrepareEndsWithItsContext(t *testing.T) {
	if testing.Short() {
		t.Skip("times")
	}
	b, err := layout.Read([]byte(grid("mm", 40, 20, 20, own)))
	require.NoError(t, err)
	for _, after := range []time.Duration{0, 50 * time.Millisecond, 300 * time.Millisecond, time.Second} {
		ctx, cancel := context.WithTimeout(t.Context(), after)
		_, err := Prepare(ctx, b, Options{Bending: true})
		end, _ := ctx.Deadline()
		if err == nil { // done sooner
			cancel()
			continue
		}
		assert.ErrorIs(t, err, context.DeadlineExceeded)
		assert.Less(t, time.Since(end), 500*time.Millisecond, "after %v", after) // 100 ms on a quiet core
		cancel()
	}
}

// What would take too long is refused at once, with the time and the size that would do;
// what takes a second or two is left to a clock.
func TestBoardsAreBoundedByTheTimeTheyTake(t *testing.T) {
	b, err := layout.Read([]byte(grid("mm", 20, 40, 60, straight)))
	require.NoError(t, err)
	_, err = Prepare(t.Context(), b, Options{Bending: true, Longest: 20 * time.Second})
	var list fault.List
	require.ErrorAs(t, err, &list)
	assert.Equal(t, fault.TooLarge, list[0].Rule)
	assert.Equal(t, "/field", list[0].Pointer)
	assert.Regexp(t, `^checking this board would take about \d+ s: allowed 20 s$`, list[0].Detail)
	assert.Equal(t, "2400 pieces", list[0].Found)
	assert.Regexp(t, `^about 1\d\d\d pieces like these$`, list[0].Allowed)
	small, err := layout.Read([]byte(grid("mm", 20, 2, 2, straight)))
	require.NoError(t, err)
	_, err = Prepare(t.Context(), small, Options{Longest: time.Nanosecond})
	assert.NoError(t, err)
}
