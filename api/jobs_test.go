package api

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/jobs"
)

const goodSweep = `{"kind":"sweep","parameters":{"exposures":["none"],"chance":false,"cracks":false},"fields":["verdict","utilisation","thickness"],"board":` + goodBoard + `,
	"axes":[{"at":["/stock/W/species"],"values":["black-walnut","black-cherry"]},{"at":["/thickness"],"values":[25,38]},{"parameter":"home","values":["mediterranean"]}]}`

func broker(t *testing.T) *jobs.Broker {
	t.Helper()
	b, err := jobs.Open(t.Context(), jobs.Config{Dir: t.TempDir()})
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

func workOn(t *testing.T, b *jobs.Broker) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { defer close(done); assert.NoError(t, b.Work(ctx, 1, NewWorker(WorkerConfig{Log: silent}).Do)) }()
	t.Cleanup(func() { cancel(); <-done })
}

func submitted(t *testing.T, h *harness, body string, header map[string]string) jobs.Job {
	t.Helper()
	w := h.good(request{path: "/v1/jobs", body: body, header: header})
	require.Equal(t, http.StatusAccepted, w.Code, short(w))
	var j jobs.Job
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &j))
	assert.Equal(t, "/v1/jobs/"+j.ID, w.Header().Get("Location"))
	return j
}

// An answer of a job is the answer of its route.
func TestAJobAnswersAsItsRoute(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := broker(t)
	h := newHarness(t, Config{Jobs: b})
	workOn(t, b)
	for kind, q := range map[string]string{"check": "?exposures=none&mc=6", "improve": "?exposures=none&rounds=1&seed=2", "windows": "?exposures=none", "plan": "?exposures=none&shop=40@18&price=M%3D3"} {
		path := "/v1/board/" + kind
		if kind == "check" {
			path = "/v1/board"
		}
		params := map[string]string{"check": `{"exposures":["none"],"mc":[6]}`, "improve": `{"exposures":"none","rounds":1,"seed":2}`, "windows": `{"exposures":["none"]}`, "plan": `{"exposures":["none"],"shop":"40@18","price":["M=3"]}`}[kind]
		want := h.good(request{path: path + q, body: twoBlocks})
		require.Equal(t, http.StatusOK, want.Code, short(want))
		if strings.Contains(want.Body.String(), `"skipped":[`) {
			t.Logf("%s: the route ran out of its time on this machine, the job does not", kind)
			continue
		}
		j := submitted(t, h, `{"kind":"`+kind+`","parameters":`+params+`,"board":`+twoBlocks+`}`, nil)
		assert.Equal(t, 1, j.Units)
		address := "/v1/jobs/" + j.ID
		require.Eventually(t, func() bool { return h.send(request{path: address + "/results/0"}).Code == http.StatusOK }, 60*time.Second, 50*time.Millisecond)
		got := h.good(request{path: address + "/results/0"})
		assert.Equal(t, timeless(want.Body.String()), timeless(got.Body.String()), kind)
		assert.Contains(t, h.good(request{path: address}).Body.String(), `"state":"done"`)
	}
}

// timeless drops how long an answer took.
func timeless(s string) string {
	var v map[string]any
	if json.Unmarshal([]byte(s), &v) != nil {
		return s
	}
	delete(v, "seconds")
	delete(v, "took")
	out, _ := json.Marshal(v)
	return string(out)
}

// A sweep tells every variant once, in the events and by its number.
func TestASweepTellsEveryVariant(t *testing.T) {
	b := broker(t)
	s, _ := start(t, Config{Jobs: b}, nil)
	workOn(t, b)
	url := "http://" + s.Addr()
	r, err := http.Post(url+"/v1/jobs", typeJSON, strings.NewReader(goodSweep))
	require.NoError(t, err)
	var j jobs.Job
	require.NoError(t, json.NewDecoder(r.Body).Decode(&j))
	r.Body.Close()
	require.Equal(t, 4, j.Units)
	read := func(after string) (names []string, seen map[int]string, last string) {
		q, _ := http.NewRequestWithContext(t.Context(), http.MethodGet, url+"/v1/jobs/"+j.ID+"/events", nil)
		if after != "" {
			q.Header.Set("Last-Event-ID", after)
		}
		r, err := http.DefaultClient.Do(q)
		require.NoError(t, err)
		defer r.Body.Close()
		require.Equal(t, http.StatusOK, r.StatusCode)
		require.Equal(t, typeEvents, r.Header.Get("Content-Type"))
		seen = map[int]string{}
		lines := bufio.NewScanner(r.Body)
		name := ""
		for lines.Scan() {
			key, value, _ := strings.Cut(lines.Text(), ": ")
			switch key {
			case "id":
				last = value
			case "event":
				name = value
				names = append(names, value)
			case "data":
				if name == "result" {
					var e jobs.Result
					require.NoError(t, json.Unmarshal([]byte(value), &e))
					assert.NotContains(t, seen, e.Unit)
					assert.Equal(t, 200, e.Status, value)
					seen[e.Unit] = string(e.Answer)
				}
			}
		}
		return names, seen, last
	}
	names, seen, last := read("")
	require.Len(t, seen, 4)
	assert.Equal(t, "end", names[len(names)-1])
	for unit, thickness := range []string{"25", "38", "25", "38"} {
		var a struct {
			Verdict   string
			Thickness json.Number
		}
		require.NoError(t, json.Unmarshal([]byte(seen[unit]), &a), seen[unit])
		assert.Contains(t, seen[unit], thickness)
		assert.NotContains(t, seen[unit], "joints")
	}
	assert.NotEqual(t, seen[0], seen[2], "another wood")
	_, again, _ := read(last)
	assert.Empty(t, again, "nothing is told twice")
}

func TestBadJobs(t *testing.T) {
	h := newHarness(t, Config{Jobs: broker(t)})
	values := func(n int) string { return "[" + strings.TrimSuffix(strings.Repeat("1,", n), ",") + "]" }
	axes := func(n int) string {
		return strings.TrimSuffix(strings.Repeat(`{"at":["/thickness"],"values":`+values(1000)+`},`, n), ",")
	}
	for name, c := range map[string]struct{ body, pointer, says string }{
		"unknown kind":       {`{"kind":"dream","board":` + goodBoard + `}`, "#/kind", "sweep"},
		"no board":           {`{"kind":"check"}`, "#/board", ""},
		"unknown key":        {`{"kind":"check","bord":{},"board":` + goodBoard + `}`, "#/bord", "board"},
		"a faulty board":     {`{"kind":"check","board":` + strings.Replace(goodBoard, "black-walnut", "blak-walnut", 1) + `}`, "#/board/stock/W/species", "black-walnut"},
		"a faulty parameter": {`{"kind":"check","parameters":{"home":"nowhere"},"board":` + goodBoard + `}`, "#/parameters/home", ""},
		"unknown parameter":  {`{"kind":"windows","parameters":{"rounds":3},"board":` + goodBoard + `}`, "#/parameters/rounds", ""},
		"too many variants":  {`{"kind":"sweep","board":` + goodBoard + `,"axes":[` + axes(3) + `]}`, "#/axes", "1000000000 variants"},
		"no axis":            {`{"kind":"sweep","board":` + goodBoard + `}`, "#/axes", ""},
		"axes of a check":    {`{"kind":"check","board":` + goodBoard + `,"axes":[` + axes(1) + `]}`, "#/axes", ""},
		"no such place":      {`{"kind":"sweep","board":` + goodBoard + `,"axes":[{"at":["/stock/Q/species"],"values":["teak"]}]}`, "#/axes/0/values/0", ""},
		"a faulty value":     {`{"kind":"sweep","board":` + goodBoard + `,"axes":[{"at":["/thickness"],"values":[30,-1]}]}`, "#/axes/0/values/1", ""},
		"unknown field":      {`{"kind":"check","fields":["verdikt"],"board":` + goodBoard + `}`, "#/fields", "verdict"},
		"key of an axis":     {`{"kind":"sweep","board":` + goodBoard + `,"axes":[{"att":["/thickness"],"values":[30]}]}`, "#/axes/0/att", "at"},
	} {
		w := h.send(request{path: "/v1/jobs", body: c.body})
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s: %s", name, short(w))
		p := problem(t, w)
		require.NotEmpty(t, p.Errors, name)
		var at []string
		for _, e := range p.Errors {
			if e.Pointer != nil {
				at = append(at, *e.Pointer)
			}
		}
		assert.Contains(t, at, c.pointer, name)
		assert.Contains(t, w.Body.String(), c.says, name)
	}
	for _, id := range []string{"nothing", strings.Repeat("0", 24), "..", "%2a"} {
		for _, q := range []request{{path: "/v1/jobs/" + id}, {method: http.MethodDelete, path: "/v1/jobs/" + id}, {path: "/v1/jobs/" + id + "/events"}, {path: "/v1/jobs/" + id + "/results/0"}} {
			assert.Contains(t, []int{404, 405}, h.fire(q).Code, "%s %s", q.method, q.path)
		}
	}
	off := newHarness(t, Config{})
	assert.Equal(t, http.StatusNotImplemented, off.send(request{path: "/v1/jobs", body: goodSweep}).Code)
}

// The same key is the same job, another body under it a conflict; a cancelled job
// says so, and one client learns nothing of another's.
func TestKeysAndCancellingOfJobs(t *testing.T) {
	mine, secret, err := NewKey("mine")
	require.NoError(t, err)
	yours, other, err := NewKey("yours")
	require.NoError(t, err)
	h := newHarness(t, Config{Jobs: broker(t), Keys: []Key{mine, yours}})
	header := map[string]string{"X-Api-Key": secret, "Idempotency-Key": "once"}
	first := submitted(t, h, goodSweep, header)
	assert.Equal(t, first.ID, submitted(t, h, goodSweep, header).ID)
	w := h.send(request{path: "/v1/jobs", body: strings.Replace(goodSweep, "38", "39", 1), header: header})
	assert.Equal(t, http.StatusConflict, w.Code)
	address := "/v1/jobs/" + first.ID
	assert.Equal(t, http.StatusNotFound, h.send(request{path: address, header: map[string]string{"X-Api-Key": other}}).Code)
	assert.Equal(t, http.StatusNotFound, h.send(request{method: http.MethodDelete, path: address, header: map[string]string{"X-Api-Key": other}}).Code)
	w = h.good(request{method: http.MethodDelete, path: address, header: header})
	assert.Contains(t, w.Body.String(), `"state":"cancelled"`)
	w = h.good(request{path: address + "/results/1", header: header})
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Equal(t, "/problems/cancelled", problem(t, w).Type)
	assert.Empty(t, w.Header().Get("Retry-After"), "waiting does not help")
	w = h.good(request{path: address + "/results/4", header: header})
	assert.Contains(t, w.Body.String(), "no such part")
}

// A broker that is gone is told with the time to come back.
func TestABrokerThatIsGone(t *testing.T) {
	b := broker(t)
	h := newHarness(t, Config{Jobs: b})
	j := submitted(t, h, goodSweep, nil)
	b.Close()
	for _, q := range []request{{path: "/v1/jobs", body: goodSweep}, {path: "/v1/jobs/" + j.ID}} {
		w := h.send(q)
		assert.Equal(t, http.StatusServiceUnavailable, w.Code, short(w))
		assert.NotEmpty(t, w.Header().Get("Retry-After"))
	}
	assert.Equal(t, http.StatusOK, h.send(request{path: "/v1/climates"}).Code, "the rest works on")
}

func TestVariants(t *testing.T) {
	j := jobSpec{Kind: kindSweep, Boards: []json.RawMessage{[]byte(`{"a":1,"l":[{"x":1.50}]}`), []byte(`{"a":2,"l":[{"x":1}]}`)},
		Axes: []axis{{At: []string{"/l/0/x", "/a"}, Values: []json.RawMessage{[]byte(`7`), []byte(`"8"`)}}, {Parameter: "home", Values: []json.RawMessage{[]byte(`"p"`), []byte(`"q"`), []byte(`3`)}}}}
	require.Equal(t, 12, j.units())
	var seen []string
	for i := range 12 {
		b, p, err := j.variant(i)
		require.NoError(t, err)
		seen = append(seen, string(bytes.TrimSpace(b))+p.Get("home"))
	}
	assert.Equal(t, `{"a":7,"l":[{"x":7}]}p`, seen[0])
	assert.Equal(t, `{"a":7,"l":[{"x":7}]}3`, seen[2])
	assert.Equal(t, `{"a":"8","l":[{"x":"8"}]}p`, seen[3])
	assert.Equal(t, seen[0], seen[6], "both boards become alike here")
	assert.Equal(t, []string{"1.50"}, keptNumbers(t, &j))
}

// keptNumbers gives what a variant leaves alone, as it was written.
func keptNumbers(t *testing.T, j *jobSpec) []string {
	k := *j
	k.Axes = []axis{{At: []string{"/a"}, Values: []json.RawMessage{[]byte(`1`)}}}
	b, _, err := k.variant(0)
	require.NoError(t, err)
	var v struct{ L []struct{ X json.Number } }
	require.NoError(t, json.Unmarshal(b, &v))
	return []string{fmt.Sprint(v.L[0].X)}
}
