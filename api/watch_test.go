//go:build unix

package api

import (
	"context"
	"os"
	"runtime/debug"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/picture"
)

// worked is the processor time of this process so far: what neighbours take does not
// count.
func worked() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// watched is a context that keeps the longest time between two looks at it.
type watched struct {
	context.Context
	mu          sync.Mutex
	last, worst time.Duration
	looks       int
	stack       []byte
}

func (w *watched) Err() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	now := worked()
	if gap := now - w.last; w.last > 0 && gap > w.worst {
		w.worst, w.stack = gap, debug.Stack()
	}
	w.last = now
	w.looks++
	return w.Context.Err()
}

// Whoever leaves frees his place: between two looks at the context no stage of any
// question works for a tenth of a second.
func TestEveryStageLooksAtItsContext(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	rows, cols := 6, 8
	if os.Getenv("TANRAD_LONG") == "1" {
		rows, cols = 20, 30
	}
	src := []byte(turned(rows, cols)(3))
	m := answer.NewMemory(64<<20, 64<<20, 2<<30)
	settled := answer.BoardQuery{Exposures: []string{"none"}, NoCracks: true, NoChance: true}
	most := 100 * time.Millisecond
	if rows < 10 {
		most *= 4 // other tests share the processor's caches and threads; a stage that never looks takes longer still
	}
	for _, c := range []struct {
		name string
		long bool
		ask  func() (*answer.Question, error)
	}{
		{"check", false, func() (*answer.Question, error) {
			return answer.AskBoard(src, answer.BoardQuery{Exposures: []string{"wash-one-face"}, Explain: "worst"}, m)
		}},
		{"edit", false, func() (*answer.Question, error) { return answer.AskBoard(src, settled, m) }},
		{"windows", true, func() (*answer.Question, error) { return answer.AskWindows(src, settled, m) }},
		{"picture", false, func() (*answer.Question, error) {
			return answer.AskDraw(src, settled, answer.PictureQuery{View: picture.ViewLayout, PNG: true}, m)
		}},
		{"shape", false, func() (*answer.Question, error) { return answer.AskShape(src, settled, answer.ShapeQuery{}, m) }},
		{"deck", false, func() (*answer.Question, error) { return answer.AskExport(src, answer.ExportQuery{Format: "inp"}, m) }},
		{"matrix", false, func() (*answer.Question, error) { return answer.AskExport(src, answer.ExportQuery{Format: "mtx"}, m) }},
	} {
		if c.long && rows < 10 {
			continue
		}
		q, err := c.ask()
		require.NoError(t, err, c.name)
		w := &watched{Context: t.Context(), last: worked()}
		_, err = q.Answer(w)
		require.NoError(t, err, c.name)
		_ = w.Err()
		t.Logf("%s: %d looks, %v at most between", c.name, w.looks, w.worst)
		assert.Less(t, w.worst, most, "%s:\n%s", c.name, w.stack)
	}
}

// Searches look at the context they were given, where long work stands aside for edits,
// and not at deadlines of their own alone.
func TestSearchesLookAtTheContextTheyGot(t *testing.T) {
	m := answer.NewMemory(64<<20, 64<<20, 2<<30)
	settled := answer.BoardQuery{Exposures: []string{"none"}}
	for name, ask := range map[string]func() (*answer.Question, error){
		"advice": func() (*answer.Question, error) {
			return answer.AskAdvice([]byte(twoBlocks), answer.AdviceQuery{BoardQuery: settled}, m)
		},
		"improve": func() (*answer.Question, error) {
			return answer.AskImprove([]byte(twoBlocks), answer.ImproveQuery{BoardQuery: settled, Rounds: 1, Deadline: 60}, m)
		},
	} {
		q, err := ask()
		require.NoError(t, err, name)
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		w := &watched{Context: ctx, last: worked()}
		began := worked()
		_, err = q.Answer(w)
		require.NoError(t, err, name)
		took := worked() - began
		_ = w.Err()
		cancel()
		t.Logf("%s: %d looks in %v, %v at most between", name, w.looks, took, w.worst)
		assert.Less(t, w.worst, took/6, "%s: %s", name, w.stack)
	}
}

// Searches have contexts of their own: whoever leaves one frees his place as soon.
func TestSearchesEndWithTheirContext(t *testing.T) {
	src := []byte(turned(4, 6)(5))
	m := answer.NewMemory(64<<20, 64<<20, 2<<30)
	settled := answer.BoardQuery{Exposures: []string{"none"}}
	for name, ask := range map[string]func() (*answer.Question, error){
		"advice": func() (*answer.Question, error) {
			return answer.AskAdvice(src, answer.AdviceQuery{BoardQuery: settled}, m)
		},
		"improve": func() (*answer.Question, error) {
			return answer.AskImprove(src, answer.ImproveQuery{BoardQuery: settled, Rounds: 1000}, m)
		},
	} {
		q, err := ask()
		require.NoError(t, err, name)
		ctx, cancel := context.WithCancel(t.Context())
		left := make(chan time.Duration, 1)
		begun := worked()
		go func() {
			for worked()-begun < 200*time.Millisecond {
				time.Sleep(time.Millisecond)
			}
			left <- worked()
			cancel()
		}()
		_, err = q.Answer(ctx)
		after := worked() - <-left
		cancel()
		t.Logf("%s: worked on for %v; %v", name, after, err)
		assert.Less(t, after, 100*time.Millisecond, name)
	}
}
