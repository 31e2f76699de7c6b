package check

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
)

// watched is a context that counts who looks at it, ends at a look asked for, and
// keeps the longest processor time between two looks.
type watched struct {
	context.Context
	looks, endAt atomic.Int64
	last         int64
	longest      time.Duration
	where        string
}

func watch(t *testing.T, endAt int) *watched {
	w := &watched{Context: t.Context(), last: spent()}
	w.endAt.Store(int64(endAt))
	return w
}

// spent is the processor time of this process, ns: what neighbours take is not in it.
func spent() int64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return u.Utime.Nano() + u.Stime.Nano()
}

func (w *watched) Err() error {
	n := w.looks.Add(1)
	if at := w.endAt.Load(); at > 0 && n >= at {
		return context.Canceled
	}
	now := spent()
	if d := time.Duration(now - w.last); d > w.longest {
		w.longest = d
		_, file, line, _ := runtime.Caller(1)
		w.where = fmt.Sprintf("%s:%d", filepath.Base(file), line)
	}
	w.last = now
	return w.Context.Err()
}

// Whoever leaves frees his place: wherever a check is when its context ends, it
// looks up soon and comes back with that error.
func TestAChecksEveryStageHeedsItsContext(t *testing.T) {
	board, err := layout.Read(boardgen.Grid(boardgen.Options{Rows: 2, Cols: 2, Block: 40, Thickness: 20, Kinds: 2, Seed: 1, RandomRings: true}))
	require.NoError(t, err)
	whole := watch(t, 0)
	_, err = Board(whole, board, Conditions{NoHistories: true})
	require.NoError(t, err)
	n := int(whole.looks.Load())
	for part := range 16 {
		w := watch(t, 1+part*n/16)
		_, err := Board(w, board, Conditions{NoHistories: true})
		require.ErrorIs(t, err, context.Canceled, "at look %d of %d", w.endAt.Load(), n)
		assert.LessOrEqual(t, w.looks.Load()-w.endAt.Load(), int64(4), "looks after the end: every caller takes the error up")
	}
}

// No stage of the largest boards that a service takes works longer than a tenth of a
// second without a look at the context: processor time, twice that on a core shared
// with another.
func TestLargestBoardsHeedTheirContexts(t *testing.T) {
	type size struct {
		rows, cols, kinds int
		judged            bool // and not prepared only: thousands of blocks take minutes
	}
	sizes, most := []size{{12, 16, 8, false}}, 50*time.Millisecond
	if boardtest.Long() {
		sizes, most = []size{{20, 30, 0, true}, {50, 80, 2, false}}, 200*time.Millisecond
	}
	for _, s := range sizes {
		board, err := layout.Read(boardgen.Grid(boardgen.Options{Rows: s.rows, Cols: s.cols, Block: 40, Thickness: 40, Kinds: s.kinds, Seed: 1, RandomRings: true}))
		require.NoError(t, err)
		w := watch(t, 0)
		m, err := Prepare(w, board, Conditions{NoHistories: true, Cache: NewCache(64 << 20), Budget: 2 << 30})
		require.NoError(t, err)
		t.Logf("%d blocks: %v before %s until prepared", s.rows*s.cols, w.longest, w.where)
		if s.judged {
			_, err = m.Report(w, Conditions{NoHistories: true, NoCracks: true, NoChance: true})
			require.NoError(t, err)
			t.Logf("%d blocks: %v before %s until judged", s.rows*s.cols, w.longest, w.where)
		}
		assert.Less(t, w.longest, most, w.where)
	}
}
