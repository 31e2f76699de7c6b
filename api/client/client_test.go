package client_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api"
	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/client"
	"github.com/tanrad/tanrad/api/jobs"
)

const board = `{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},
	"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}`

// serve runs a whole service with jobs and a worker.
func serve(t *testing.T, cfg api.Config) string {
	t.Helper()
	b, err := jobs.Open(t.Context(), jobs.Config{Dir: t.TempDir()})
	require.NoError(t, err)
	cfg.Addr, cfg.Log, cfg.Jobs = "127.0.0.1:0", slog.New(slog.DiscardHandler), b
	s, err := api.New(cfg)
	require.NoError(t, err)
	require.NoError(t, s.Open())
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{}, 2)
	go func() { _ = s.Serve(ctx); done <- struct{}{} }()
	go func() {
		_ = b.Work(ctx, 1, api.NewWorker(api.WorkerConfig{Log: cfg.Log}).Do)
		done <- struct{}{}
	}()
	t.Cleanup(func() { cancel(); <-done; <-done; b.Close() })
	return "http://" + s.Addr()
}

// Answers come with their types and lose nothing on the way.
func TestQuestionsAndTheirTypes(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	key, secret, err := api.NewKey("tester")
	require.NoError(t, err)
	base := serve(t, api.Config{Keys: []api.Key{key}, CheckTime: 5 * time.Second}) // of windows what is done by then
	c := &client.Client{Base: base + "/", Key: secret}
	r, err := c.Check(t.Context(), board, client.Edit)
	require.NoError(t, err)
	assert.Positive(t, r.Utilisation)
	assert.Len(t, r.Joints, 4)
	assert.NotEmpty(t, r.Made.Data)
	// what was read says the same again
	q, err := http.NewRequest(http.MethodPost, base+"/v1/board?exposures=none&cracks=false&chance=false", strings.NewReader(board))
	require.NoError(t, err)
	q.Header.Set("Content-Type", "application/json")
	q.Header.Set("X-Api-Key", secret)
	plain, err := http.DefaultClient.Do(q)
	require.NoError(t, err)
	defer plain.Body.Close()
	whole, err := io.ReadAll(plain.Body)
	require.NoError(t, err)
	again, err := answer.Encode(r)
	require.NoError(t, err)
	assert.JSONEq(t, string(whole), string(again))

	i, err := c.Improve(t.Context(), json.RawMessage(board), client.Conditions{Exposures: []string{"none"}}, url.Values{"rounds": {"1"}})
	require.NoError(t, err)
	assert.NotEmpty(t, i.End)
	w, err := c.Windows(t.Context(), []byte(board), client.Conditions{Exposures: []string{"none"}, Moistures: []float64{6.5}})
	require.NoError(t, err)
	assert.NotNil(t, w)
	p, err := c.Pair(t.Context(), map[string]any{"a": map[string]any{"species": "teak", "ring_angle": 0}, "b": map[string]any{"species": "teak", "ring_angle": 90}, "moisture": map[string]any{"change": 3}})
	require.NoError(t, err)
	assert.NotNil(t, p)

	_, err = c.Check(t.Context(), strings.Replace(board, "sugar-maple", "sugar-mapel", 1), client.Edit)
	var problem *client.Problem
	require.ErrorAs(t, err, &problem)
	assert.Equal(t, 422, problem.Status)
	assert.Equal(t, "#/stock/M/species", problem.Errors[0].Pointer)
	assert.Contains(t, problem.Errors[0].Nearest, "sugar-maple")
	_, err = (&client.Client{Base: base, Tries: 1}).Check(t.Context(), board, client.Edit)
	require.ErrorAs(t, err, &problem)
	assert.Equal(t, 401, problem.Status)
}

func TestJobs(t *testing.T) {
	c := &client.Client{Base: serve(t, api.Config{})}
	j, err := c.Submit(t.Context(), client.JobRequest{Kind: "sweep", Board: board, Fields: []string{"verdict", "thickness"},
		Parameters: map[string]any{"exposures": []string{"none"}, "cracks": false, "chance": false},
		Axes:       []client.Axis{{At: []string{"/thickness"}, Values: []any{20, 30, 40}}, {At: []string{"/stock/W/species"}, Values: []any{"teak", "black-cherry"}}}})
	require.NoError(t, err)
	require.Equal(t, 6, j.Units)
	got := map[int]float64{}
	var end *client.Job
	require.NoError(t, c.Follow(t.Context(), j.ID, func(e client.Event) error {
		switch {
		case e.Result != nil:
			var a struct{ Thickness float64 }
			require.Equal(t, 200, e.Result.Status)
			require.NoError(t, json.Unmarshal(e.Result.Answer, &a))
			got[e.Result.Unit] = a.Thickness
		case e.End != nil:
			end = e.End
		}
		return nil
	}))
	assert.Equal(t, map[int]float64{0: 20, 1: 20, 2: 30, 3: 30, 4: 40, 5: 40}, got)
	assert.Equal(t, "done", end.State)
	var part struct{ Verdict string }
	require.NoError(t, c.Result(t.Context(), j.ID, 5, &part))
	assert.NotEmpty(t, part.Verdict)
	enough := errors.New("enough")
	assert.Equal(t, enough, c.Follow(t.Context(), j.ID, func(client.Event) error { return enough }))
	j, err = c.Cancel(t.Context(), j.ID)
	require.NoError(t, err)
	assert.Equal(t, "done", j.State)
	var problem *client.Problem
	_, err = c.Job(t.Context(), "nothing")
	require.ErrorAs(t, err, &problem)
	assert.Equal(t, 404, problem.Status)
	assert.ErrorAs(t, c.Follow(t.Context(), "nothing", nil), &problem)
}

// A busy service is asked again after the time it names, one that refuses is not;
// the key of a job stays the same.
func TestRetries(t *testing.T) {
	var calls atomic.Int32
	keys := map[string]bool{}
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		n := calls.Add(1)
		if k := r.Header.Get("Idempotency-Key"); k != "" {
			keys[k] = true
		}
		switch {
		case r.URL.Path == "/v1/pair":
			w.WriteHeader(http.StatusTeapot)
		case n == 1:
			w.Header().Set("Retry-After", "1")
			w.WriteHeader(http.StatusServiceUnavailable)
			fmt.Fprint(w, `{"type":"/problems/busy","title":"t","status":503}`)
		case n == 2:
			panic(http.ErrAbortHandler) // cut off
		default:
			w.WriteHeader(http.StatusAccepted)
			fmt.Fprint(w, `{"id":"x","units":1}`)
		}
	}))
	defer s.Close()
	c := &client.Client{Base: s.URL}
	began := time.Now()
	j, err := c.Submit(t.Context(), client.JobRequest{Kind: "check", Board: board})
	require.NoError(t, err)
	assert.Equal(t, "x", j.ID)
	assert.EqualValues(t, 3, calls.Load())
	assert.Len(t, keys, 1)
	assert.GreaterOrEqual(t, time.Since(began), time.Second)
	calls.Store(10)
	_, err = c.Pair(t.Context(), `{}`)
	var problem *client.Problem
	require.ErrorAs(t, err, &problem)
	assert.Equal(t, http.StatusTeapot, problem.Status)
	assert.EqualValues(t, 11, calls.Load(), "not again")
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	calls.Store(0)
	_, err = c.Submit(ctx, client.JobRequest{Kind: "check", Board: board})
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}

// Events that break off are taken up where they broke.
func TestEventsAreTakenUpAgain(t *testing.T) {
	var calls atomic.Int32
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/event-stream")
		if calls.Add(1) == 1 {
			fmt.Fprint(w, "retry: 2000\n\n:\n\nid: 3\nevent: progress\ndata: {\"unit\":0,\"done\":1,\"total\":2}\n\nid: 4\nevent: resu")
			w.(http.Flusher).Flush()
			panic(http.ErrAbortHandler)
		}
		assert.Equal(t, "3", r.Header.Get("Last-Event-ID"))
		fmt.Fprint(w, "id: 4\nevent: result\ndata: {\"unit\":0,\"status\":200,\"answer\":1}\n\nid: 4\nevent: end\ndata: {\"state\":\"done\"}\n\n")
	}))
	defer s.Close()
	var told []string
	require.NoError(t, (&client.Client{Base: s.URL}).Follow(t.Context(), "x", func(e client.Event) error {
		switch {
		case e.Progress != nil:
			told = append(told, "progress")
		case e.Result != nil:
			told = append(told, "result")
		case e.End != nil:
			told = append(told, e.End.State)
		}
		return nil
	}))
	assert.Equal(t, []string{"progress", "result", "done"}, told)
}

// A drawing answers as whole boards do, whether the service keeps its boards or not.
func TestDrawing(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, keeps := range []int64{0, 1} { // the default, and nothing
		c := &client.Client{Base: serve(t, api.Config{Answers: keeps})}
		d, err := c.Draw(board)
		require.NoError(t, err)
		_, err = d.Check(t.Context(), client.Edit)
		require.NoError(t, err)
		var p *client.Problem
		_, err = d.Change(t.Context(), `{"thickness":-4}`, client.Edit)
		require.ErrorAs(t, err, &p)
		assert.Equal(t, http.StatusUnprocessableEntity, p.Status)
		got, err := d.Change(t.Context(), map[string]any{"thickness": 30, "home": "mediterranean"}, client.Edit)
		require.NoError(t, err)
		assert.InDelta(t, 30, got.Thickness, 1e-9)
		want, err := c.Check(t.Context(), d.File(), client.Edit)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}
