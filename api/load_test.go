package api

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// figures is set to have the long form of the loads, whose times are figures; the
// short form looks at statuses and at what is left behind.
var figures = os.Getenv("TANRAD_FIGURES") != ""

// span picks a length of time for the short or the long form.
func span(short, long time.Duration) time.Duration {
	if figures {
		return long
	}
	return short
}

// until gives the context of a load: it ends after the length of its form, but not
// before each of some kinds of question was answered a few times; a busy machine
// takes its time.
func until(t *testing.T, short, long time.Duration, each ...*tally) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), span(short, long)+time.Minute)
	t.Cleanup(cancel)
	go func() {
		defer cancel()
		time.Sleep(span(short, long))
		for ctx.Err() == nil && slices.ContainsFunc(each, func(y *tally) bool { return y.good() < 5 }) {
			time.Sleep(20 * time.Millisecond)
		}
	}()
	return ctx
}

// loaded is a service with a key for every client, so that limits of one client
// are not those of the machine.
type loaded struct {
	t       *testing.T
	url     string
	secrets []string
	server  *Server
	client  *http.Client
}

func load(t *testing.T, clients int, cfg Config) *loaded {
	l := &loaded{t: t, client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 256}}}
	for i := range clients {
		k, secret, err := NewKey(fmt.Sprint("client", i))
		require.NoError(t, err)
		cfg.Keys = append(cfg.Keys, k)
		l.secrets = append(l.secrets, secret)
	}
	l.server, _ = start(t, cfg, nil)
	l.url = "http://" + l.server.Addr()
	return l
}

// tally counts answers by status and keeps how long the good ones took.
type tally struct {
	mu       sync.Mutex
	statuses map[int]int
	took     []time.Duration
	bare     int // refusals without a time to come back
}

func (y *tally) note(status int, after string, took time.Duration) {
	y.mu.Lock()
	defer y.mu.Unlock()
	if y.statuses == nil {
		y.statuses = map[int]int{}
	}
	y.statuses[status]++
	if status == http.StatusOK {
		y.took = append(y.took, took)
	}
	if n, err := strconv.Atoi(after); (status == 429 || status == 503) && (err != nil || n < 1) {
		y.bare++
	}
}

func (y *tally) good() int {
	y.mu.Lock()
	defer y.mu.Unlock()
	return len(y.took)
}

func (y *tally) quantile(q float64) time.Duration {
	if len(y.took) == 0 {
		return 0
	}
	slices.Sort(y.took)
	return y.took[min(len(y.took)-1, int(q*float64(len(y.took))))]
}

func (y *tally) String() string {
	return fmt.Sprintf("%v p50 %v p99 %v", y.statuses, y.quantile(0.5).Round(100*time.Microsecond), y.quantile(0.99).Round(100*time.Microsecond))
}

// ask sends one request as a client and notes what came.
func (l *loaded) ask(ctx context.Context, y *tally, client int, path, body string) {
	method := http.MethodGet
	if body != "" {
		method = http.MethodPost
	}
	q, err := http.NewRequestWithContext(ctx, method, l.url+path, strings.NewReader(body))
	if err != nil {
		return
	}
	if body != "" {
		q.Header.Set("Content-Type", "application/json")
	}
	q.Header.Set("X-Api-Key", l.secrets[client%len(l.secrets)])
	began := time.Now()
	r, err := l.client.Do(q)
	if err != nil {
		if ctx.Err() == nil {
			y.note(0, "", 0)
		}
		return
	}
	_, _ = io.Copy(io.Discard, r.Body)
	r.Body.Close()
	y.note(r.StatusCode, r.Header.Get("Retry-After"), time.Since(began))
}

// crowd runs clients against the service until the time is over.
func (l *loaded) crowd(group *sync.WaitGroup, ctx context.Context, y *tally, first, clients int, pause time.Duration, path string, body func(n int) string) {
	for c := range clients {
		group.Go(func() {
			for n := 0; ctx.Err() == nil; n++ {
				l.ask(ctx, y, first+c, path, body(c*1_000_000+n))
				select {
				case <-ctx.Done():
				case <-time.After(pause):
				}
			}
		})
	}
}

// turned makes boards of two woods with rings of their own for every number, as a
// drawing has them whose blocks are turned one by one.
func turned(rows, cols int) func(n int) string {
	return func(n int) string {
		rng := rand.New(rand.NewPCG(uint64(n), 7))
		var stock, lines []string
		for a := range 19 {
			for _, w := range [2]string{"sugar-maple", "black-walnut"} {
				stock = append(stock, fmt.Sprintf(`"%s%d":{"species":%q,"ring_angle":%d,"moisture":8}`, w[:1], a, w, 10*a-90))
			}
		}
		for r := range rows {
			cells := make([]string, cols)
			for c := range cells {
				cells[c] = fmt.Sprintf(`"%s%d"`, [2]string{"s", "b"}[(r+c)%2], rng.IntN(19))
			}
			lines = append(lines, "["+strings.Join(cells, ",")+"]")
		}
		return `{"tanrad":1,"units":"mm","thickness":40,"stock":{` + strings.Join(stock, ",") + `},"field":{"grid":{"block":[40,40],"rows":[` + strings.Join(lines, ",") + `]}}}`
	}
}

// Sixteen clients with heavy boards do not keep out the edits and the small questions of
// others: neither what the bench asks while a finger moves, nor what it asks when the
// finger rests.
func TestEditsBesideHeavyBoards(t *testing.T) {
	if testing.Short() && !raced {
		t.Skip("long")
	}
	l := load(t, 24, Config{})
	for _, edit := range []struct{ name, path string }{{"while a finger moves", moving}, {"settled", quickly}} {
		var alone, heavy, edits, small tally
		for n := range map[bool]int{false: 2, true: 100}[figures] {
			l.ask(t.Context(), &alone, 16, edit.path, turned(6, 8)(-1-n))
		}
		ctx := until(t, time.Second, 30*time.Second, &edits, &small)
		var group sync.WaitGroup
		l.crowd(&group, ctx, &heavy, 0, 16, 200*time.Millisecond, "/v1/board?exposures=standard", turned(12, 16))
		l.crowd(&group, ctx, &edits, 16, 1, 100*time.Millisecond, edit.path, turned(6, 8))
		l.crowd(&group, ctx, &small, 17, 2, 20*time.Millisecond, "/v1/emc?temperature=21&humidity=50", func(int) string { return "" })
		group.Wait()
		t.Logf("%s, load average %s\nheavy %v\nedits %v, alone %v\nsmall %v", edit.name, loadAverage(), &heavy, &edits, &alone, &small)
		assert.NotEmpty(t, edits.took)
		assert.Equal(t, len(edits.took), edits.statuses[200])
		assert.Len(t, edits.statuses, 1, "no edit is refused: %v", edits.statuses)
		assert.Len(t, small.statuses, 1, "%v", small.statuses)
		for status := range heavy.statuses {
			assert.Contains(t, []int{200, 429, 503}, status)
		}
		assert.Zero(t, heavy.bare)
		if figures {
			assert.Less(t, edits.quantile(0.99), 100*time.Millisecond)
			assert.Less(t, small.quantile(0.99), 50*time.Millisecond)
		}
	}
}

// moving is what the bench asks while a finger moves.
const moving = quickly + "&by=stress&fields=joints.stress"

// Four times what can be done, of quick and of heavy questions at once: what is not
// answered is refused with the time to come back, what is let in is answered in a small
// multiple of the time that it takes alone, and nothing is left behind.
func TestOverload(t *testing.T) {
	if testing.Short() && !raced {
		t.Skip("long")
	}
	l := load(t, 64, Config{})
	before := runtime.NumGoroutine()
	const times, crowd = 4, 32
	kinds := []struct {
		name, path  string
		alone, many tally
	}{{name: "heavy", path: "/v1/board?exposures=none"}, {name: "quick", path: quickly}}
	alone := map[bool]int{false: 6, true: 30}[figures]
	var group sync.WaitGroup
	for i := range kinds {
		for n := range alone {
			l.ask(t.Context(), &kinds[i].alone, 0, kinds[i].path, turned(6, 8)(n))
		}
	}
	ctx := until(t, 2*time.Second, 30*time.Second, &kinds[0].many, &kinds[1].many)
	for i := range kinds {
		k := &kinds[i]
		l.crowd(&group, ctx, &k.many, crowd*i, crowd, crowd*k.alone.quantile(0.5)/times, k.path, func(n int) string { return turned(6, 8)(1000 + n) })
	}
	group.Wait()
	for i := range kinds {
		k := &kinds[i]
		t.Logf("%s alone %v, overload %v; load average %s", k.name, &k.alone, &k.many, loadAverage())
		for status := range k.many.statuses {
			assert.Contains(t, []int{200, 429, 503}, status)
		}
		assert.Positive(t, k.many.statuses[200])
		assert.Zero(t, k.many.bare)
		if figures {
			assert.Greater(t, k.many.statuses[503], k.many.statuses[200])
			assert.LessOrEqual(t, k.many.quantile(0.99), 3*k.alone.quantile(0.99), k.name)
		}
	}
	l.client.CloseIdleConnections()
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+8 }, 10*time.Second, 50*time.Millisecond, "goroutines are left")
	var ms runtime.MemStats
	runtime.GC() // what is left behind, and not what the collector has not come to on a busy machine
	runtime.ReadMemStats(&ms)
	assert.Less(t, ms.HeapInuse, uint64(2<<30))
}

// loadAverage is how busy the machine is, for those who read a figure.
func loadAverage() string {
	text, _ := os.ReadFile("/proc/loadavg")
	return string(text[:min(len(text), 14)])
}

// Requests with a fault somewhere: of form, of bytes, of the board. No answer is a
// fault of the service, nothing is left behind.
func TestMutatedRequests(t *testing.T) {
	n := 200
	if testing.Short() {
		n = 40
	}
	if figures || os.Getenv("TANRAD_LONG") == "1" {
		n = 100_000
	}
	h := newHarness(t, Config{CheckTime: 10 * time.Second, Budget: 256 << 20})
	whole := h.fire(request{path: quickly, body: goodBoard})
	edited := strings.Replace(quickly, "/board", "/board/"+whole.Header().Get(boardHeader), 1)
	routes := []struct{ path, body string }{{edited, `{"thickness":33,"home":"mediterranean","finish":null}`}, {quickly, goodBoard}, {"/v1/board?exposures=none&chance=false&cracks=false&refine=1", goodBoard}, {"/v1/pair", goodPair}, {"/v1/movement", goodMovement},
		{"/v1/board/picture?view=layout&exposures=none", goodBoard}, {"/v1/board/export?format=inp", goodBoard}, {"/v1/jobs", goodSweep}}
	rng := rand.New(rand.NewPCG(14, 3))
	before := runtime.NumGoroutine()
	statuses := map[int]int{}
	for range n {
		r := routes[rng.IntN(len(routes))]
		q := request{path: r.path, body: mutated(rng, r.body)}
		if r.path == edited {
			q.method = http.MethodPatch
		}
		w := h.fire(q)
		statuses[w.Code]++
		if w.Code >= 500 && w.Code != http.StatusNotImplemented {
			t.Errorf("%s: %d %s for %q", r.path, w.Code, short(w), q.body)
		}
	}
	t.Logf("%v", statuses)
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+4 }, 10*time.Second, 50*time.Millisecond)
}

// mutated changes a body in one to three places.
func mutated(rng *rand.Rand, body string) string {
	b := []byte(body)
	for range 1 + rng.IntN(3) {
		at := rng.IntN(len(b))
		switch rng.IntN(6) {
		case 0: // another byte
			b[at] = byte(rng.IntN(256))
		case 1: // a stretch twice
			end := min(len(b), at+1+rng.IntN(20))
			b = slices.Concat(b[:end], b[at:end], b[end:])
		case 2: // a stretch left out
			end := min(len(b)-1, at+1+rng.IntN(10))
			b = slices.Concat(b[:at], b[end:])
		default: // another number where one stands
			digits := bytes.IndexAny(b[at:], "0123456789")
			if digits < 0 {
				continue
			}
			from := at + digits
			to := from
			for to < len(b) && bytes.IndexByte([]byte("0123456789.eE-"), b[to]) >= 0 {
				to++
			}
			numbers := []string{"0", "-1", "1e3", "1e308", "0.0001", "22", "40", "101.6", "9000", "2147483648", "1e-320", "1.5", "359.9"}
			b = slices.Concat(b[:from], []byte(numbers[rng.IntN(len(numbers))]), b[to:])
		}
		if len(b) == 0 {
			return " "
		}
	}
	return string(b)
}

// What one machine does in a second, and how long it takes.
func TestThroughput(t *testing.T) {
	if !figures {
		t.Skip("figures only: TANRAD_FIGURES=1")
	}
	l := load(t, 4, Config{})
	for _, c := range []struct {
		name, path string
		body       func(int) string
	}{
		{"healthz", "/healthz", func(int) string { return "" }}, {"emc", "/v1/emc?temperature=21&humidity=50", func(int) string { return "" }},
		{"pair", "/v1/pair", func(int) string { return goodPair }}, {"movement", "/v1/movement", func(int) string { return goodMovement }},
		{"B48 quick, new", quickly, turned(6, 8)}, {"B48 quick, same", quickly, func(int) string { return turned(6, 8)(1) }},
		{"B48 full, new", "/v1/board", turned(6, 8)}, {"B192 quick, new", quickly, turned(12, 16)}, {"B192 full, new", "/v1/board", turned(12, 16)},
	} {
		const long = 10 * time.Second
		ctx, cancel := context.WithTimeout(t.Context(), long)
		var y tally
		var group sync.WaitGroup
		l.crowd(&group, ctx, &y, 0, 2, 0, c.path, c.body)
		group.Wait()
		cancel()
		t.Logf("%-18s %7.1f/s %v", c.name, float64(y.statuses[200])/long.Seconds(), &y)
	}
}

// A mixed load for a long time leaves memory and goroutines where they were.
func TestSoak(t *testing.T) {
	if !figures {
		t.Skip("figures only: TANRAD_FIGURES=1")
	}
	l := load(t, 8, Config{Boards: 64 << 20, Memory: 32 << 20, Answers: 8 << 20}) // full within a minute on any machine
	measure := func() (uint64, int) {
		l.client.CloseIdleConnections()
		time.Sleep(time.Second)
		runtime.GC()
		runtime.GC()
		var ms runtime.MemStats
		runtime.ReadMemStats(&ms)
		return ms.HeapAlloc >> 20, runtime.NumGoroutine()
	}
	var y tally
	stretch := func(long time.Duration) {
		ctx, cancel := context.WithTimeout(t.Context(), long)
		defer cancel()
		var group sync.WaitGroup
		l.crowd(&group, ctx, &y, 0, 2, 5*time.Millisecond, quickly, turned(6, 8))
		l.crowd(&group, ctx, &y, 2, 1, 50*time.Millisecond, "/v1/board?exposures=none", turned(6, 8))
		l.crowd(&group, ctx, &y, 3, 1, time.Millisecond, "/v1/pair", func(int) string { return goodPair })
		group.Wait()
	}
	stretch(time.Minute)
	heap, routines := measure()
	for i := range 3 {
		stretch(3 * time.Minute)
		h, r := measure()
		t.Logf("after %d min: heap %d MiB, %d goroutines; %v", 1+3*(i+1), h, r, &y)
		assert.Less(t, h, heap+heap/4+64)
		assert.LessOrEqual(t, r, routines+4)
	}
}

// Heavy work gives way: while an edit is answered, next to nothing else is computed. By
// processor time, which neighbours do not change; it would come to twice that of the edit.
func TestHeavyWorkGivesWay(t *testing.T) {
	if testing.Short() {
		t.Skip("times")
	}
	h := newHarness(t, Config{})
	spent := func(n int) time.Duration {
		began := worked()
		w := h.fire(request{path: moving, body: turned(6, 8)(n)})
		require.Equal(t, http.StatusOK, w.Code, short(w))
		return worked() - began
	}
	const times = 9
	var alone, beside []time.Duration
	spent(-1)
	for n := range times {
		alone = append(alone, spent(n))
	}
	ctx, leave := context.WithCancel(t.Context())
	left := make(chan struct{})
	go func() {
		defer close(left)
		for n := 0; ctx.Err() == nil; n++ {
			h.fire(request{path: "/v1/board?exposures=standard", body: turned(12, 16)(n), ctx: ctx})
		}
	}()
	require.Eventually(t, func() bool { return h.server.heavy.State().Working == 1 }, 10*time.Second, time.Millisecond)
	before, began := worked(), time.Now()
	for n := range times {
		for idle := worked(); worked()-idle < 60*time.Millisecond; { // heavy work goes on between
			time.Sleep(5 * time.Millisecond)
		}
		beside = append(beside, spent(times+n))
	}
	heavily, took := worked()-before, time.Since(began)
	leave()
	<-left
	for _, d := range beside {
		heavily -= d
	}
	a, b := slices.Min(alone), slices.Min(beside) // neighbours on the machine only add
	t.Logf("an edit takes %v alone, %v beside heavy work, which had %v of %v", a, b, heavily, took)
	assert.Less(t, b, a*3/2)
	assert.Positive(t, heavily)
}
