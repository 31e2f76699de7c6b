package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/apitest"
)

// process is a tanrad of its own.
type process struct {
	cmd *exec.Cmd
	log *lockedBuffer
}

type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func begin(t *testing.T, binary string, args ...string) *process {
	t.Helper()
	p := &process{exec.Command(binary, args...), &lockedBuffer{}}
	p.cmd.Stderr = p.log
	p.cmd.Env = append(os.Environ(), "TANRAD_NATS_TOKEN=between-us")
	require.NoError(t, p.cmd.Start())
	t.Cleanup(func() { _ = p.cmd.Process.Kill(); _, _ = p.cmd.Process.Wait() })
	require.Eventually(t, func() bool { return strings.Contains(p.log.String(), "msg=ready") }, 60*time.Second, 20*time.Millisecond, "%v", args)
	return p
}

// kill ends a process without a word.
func (p *process) kill(t *testing.T) {
	require.NoError(t, p.cmd.Process.Kill())
	_, _ = p.cmd.Process.Wait()
}

func freeAddress(t *testing.T) string {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer ln.Close()
	return ln.Addr().String()
}

var builtIn string

// built is the command, built once for all tests that want a process of its own.
var built = sync.OnceValues(func() (string, error) {
	var err error
	if builtIn, err = os.MkdirTemp("", "tanrad"); err != nil {
		return "", err
	}
	binary := filepath.Join(builtIn, "tanrad")
	out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w: %s", err, out)
	}
	return binary, err
})

func build(t *testing.T) string {
	binary, err := built()
	require.NoError(t, err)
	return binary
}

func TestMain(m *testing.M) {
	code := m.Run()
	os.RemoveAll(builtIn)
	os.Exit(code)
}

// submit hands a job in until it is accepted, as a client does that was cut off.
func submit(t *testing.T, url, key, body string) string {
	t.Helper()
	id := ""
	require.Eventually(t, func() bool {
		q, err := http.NewRequest(http.MethodPost, url+"/v1/jobs", strings.NewReader(body))
		require.NoError(t, err)
		q.Header.Set("Content-Type", "application/json")
		q.Header.Set("Idempotency-Key", key)
		r, err := http.DefaultClient.Do(q)
		if err != nil {
			return false
		}
		defer r.Body.Close()
		var j struct{ ID string }
		if r.StatusCode != http.StatusAccepted || json.NewDecoder(r.Body).Decode(&j) != nil {
			return false
		}
		id = j.ID
		return true
	}, 60*time.Second, 100*time.Millisecond, key)
	return id
}

var event = regexp.MustCompile(`(?m)^id: (\d+)\nevent: (\w+)\ndata: (.*)$`)

// follow reads the events of a job to their end, going on where it was cut off.
func follow(t *testing.T, url, id string) (kinds []string, results map[int]int) {
	t.Helper()
	results = map[int]int{}
	last := ""
	progress := map[int]int{}
	require.Eventually(t, func() bool {
		q, err := http.NewRequest(http.MethodGet, url+"/v1/jobs/"+id+"/events", nil)
		require.NoError(t, err)
		if last != "" {
			q.Header.Set("Last-Event-ID", last)
		}
		r, err := http.DefaultClient.Do(q)
		if err != nil {
			return false
		}
		defer r.Body.Close()
		body, _ := io.ReadAll(r.Body) // what came before it was cut off counts
		ended := false
		for _, m := range event.FindAllStringSubmatch(string(body), -1) {
			last = m[1]
			kinds = append(kinds, m[2])
			var e struct{ Unit, Done int }
			require.NoError(t, json.Unmarshal([]byte(m[3]), &e))
			switch m[2] {
			case "progress":
				assert.Greater(t, e.Done, progress[e.Unit], "progress goes forward")
				assert.Zero(t, results[e.Unit], "no progress after the result")
				progress[e.Unit] = e.Done
			case "result":
				results[e.Unit]++
			case "end":
				ended = true
			}
		}
		return ended
	}, 5*time.Minute, 200*time.Millisecond, id)
	return kinds, results
}

// Three processes: the service is killed in the middle of many jobs (thirty; two
// hundred with TANRAD_LONG=1) and comes back with its engine, a worker is killed in
// the middle of its work. No job that was accepted is lost, none has two results,
// progress keeps its order.
func TestJobsSurviveTheDeathOfAnyProcess(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	binary, data := build(t), t.TempDir()
	http, nats := freeAddress(t), freeAddress(t)
	serve := func() *process {
		return begin(t, binary, "serve", "--addr", http, "--data", data, "--jobs-listen", nats, "--job-workers", "0")
	}
	work := func() *process { return begin(t, binary, "work", "--nats", "nats://"+nats) }
	service := serve()
	first, second := work(), work()
	url := "http://" + http
	board := func(i int) string {
		return fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":%d,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}`, 20+i%40)
	}
	jobs := 30
	if os.Getenv("TANRAD_LONG") == "1" {
		jobs = 200
	}
	ids := make([]string, jobs)
	seen := map[string]bool{}
	for i := range ids {
		ids[i] = submit(t, url, fmt.Sprint("job ", i), fmt.Sprintf(`{"kind":"check","parameters":{"exposures":["none"],"chance":false},"fields":["verdict","thickness"],"board":%s}`, board(i)))
		assert.False(t, seen[ids[i]])
		seen[ids[i]] = true
		switch i {
		case jobs / 3:
			first.kill(t)
		case jobs / 2:
			service.kill(t) // and with it the engine
			service = serve()
		}
	}
	first = work()
	for i, id := range ids {
		_, results := follow(t, url, id)
		assert.Equal(t, map[int]int{0: 1}, results, "job %d", i)
		assert.Equal(t, id, submit(t, url, fmt.Sprint("job ", i), fmt.Sprintf(`{"kind":"check","parameters":{"exposures":["none"],"chance":false},"fields":["verdict","thickness"],"board":%s}`, board(i))), "the same job again")
	}
	for i := 0; i < jobs; i += 17 {
		status, body := apitest.Get(t, url+"/v1/jobs/"+ids[i]+"/results/0")
		assert.Equal(t, 200, status)
		assert.Contains(t, body, fmt.Sprintf(`"thickness":%d`, 20+i%40))
	}

	// A sweep under way while the second worker dies and the engine is restarted.
	sweep := submit(t, url, "sweep", fmt.Sprintf(`{"kind":"sweep","parameters":{"exposures":["none"],"chance":false,"cracks":false},"fields":["verdict"],"board":%s,
		"axes":[{"at":["/stock/W/species"],"values":["black-walnut","black-cherry","teak"]},{"at":["/thickness"],"values":[20,25,30,35,40,45,50,55,60,65]}]}`, board(0)))
	second.kill(t)
	require.NoError(t, service.cmd.Process.Signal(os.Interrupt))
	_, _ = service.cmd.Process.Wait()
	serve()
	kinds, results := follow(t, url, sweep)
	assert.Len(t, results, 30)
	for unit, n := range results {
		assert.Equal(t, 1, n, "unit %d", unit)
	}
	assert.Equal(t, "end", kinds[len(kinds)-1])
	_ = first
}

// What cannot start says why, at once.
func TestWorkWithoutABroker(t *testing.T) {
	r := run(t, "", "work", "--nats", "nats://secret@"+freeAddress(t))
	assert.Equal(t, exitBroken, r.code)
	assert.Contains(t, r.err, "no broker at")
	assert.NotContains(t, r.err, "secret")
	r = run(t, "", "work")
	assert.Equal(t, exitInput, r.code)
	r = run(t, "", "serve", "--addr", "0.0.0.0:0", "--no-jobs")
	assert.Equal(t, exitBroken, r.code)
	assert.Contains(t, r.err, "keys")
}

// A flag may come from the environment; the command line wins.
func TestFlagsFromTheEnvironment(t *testing.T) {
	t.Setenv("TANRAD_LOG", "xml")
	r := run(t, "", "serve", "--addr", "127.0.0.1:0", "--no-jobs")
	assert.Equal(t, exitInput, r.code)
	assert.Contains(t, r.err, "xml")
	t.Setenv("TANRAD_CHECK_TIME", "soon")
	r = run(t, "", "serve", "--log", "json", "--addr", "127.0.0.1:0", "--no-jobs")
	assert.Equal(t, exitInput, r.code)
	assert.Contains(t, r.err, "TANRAD_CHECK_TIME")
}

// What a second worker brings. The figure is for a machine with two free cores.
func TestASweepOnTwoWorkers(t *testing.T) {
	if os.Getenv("TANRAD_FIGURES") == "" {
		t.Skip("figures only: TANRAD_FIGURES=1")
	}
	binary := build(t)
	address, nats := freeAddress(t), freeAddress(t)
	begin(t, binary, "serve", "--addr", address, "--data", t.TempDir(), "--jobs-listen", nats, "--job-workers", "0")
	url := "http://" + address
	var thickness []string
	for i := range 1000 {
		thickness = append(thickness, fmt.Sprintf("%.2f", 20+0.02*float64(i)))
	}
	body := `{"kind":"sweep","parameters":{"exposures":["none"],"cracks":false,"chance":false},"fields":["verdict","utilisation"],
		"board":{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["MWMW","WMWM","MWMW"]}}},"axes":[{"at":["/thickness"],"values":[` + strings.Join(thickness, ",") + `]}]}`
	var took [2]time.Duration
	for n := range took {
		begin(t, binary, "work", "--nats", "nats://"+nats) // the second comes to the first
		began := time.Now()
		id := submit(t, url, fmt.Sprint("sweep ", n), body)
		_, results := follow(t, url, id)
		took[n] = time.Since(began)
		assert.Len(t, results, 1000)
		t.Logf("%d workers: %v, %.1f boards a second", n+1, took[n], 1000/took[n].Seconds())
	}
	assert.GreaterOrEqual(t, took[0].Seconds()/took[1].Seconds(), 1.8)
}
