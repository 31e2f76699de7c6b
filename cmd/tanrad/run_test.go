package main

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api"
	"github.com/tanrad/tanrad/data"
)

type result struct {
	code     int
	out, err string
}

func run(t *testing.T, in string, args ...string) result {
	t.Helper()
	var out, diagnostics bytes.Buffer
	code := Run(context.Background(), args, strings.NewReader(in), &out, &diagnostics)
	return result{code, out.String(), diagnostics.String()}
}

const twoByTwo = `{"tanrad": 1, "name": "two by two", "units": "in", "thickness": 1.5,
	"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": 90, "moisture": 7.5}},
	"field": {"grid": {"block": [1.5, 1.5], "rows": ["MW", "WM"]}}}`

// TestSameJSONAsTheService runs each question on both ways and compares bytes.
func TestSameJSONAsTheService(t *testing.T) {
	s, err := api.New(api.Config{})
	require.NoError(t, err)
	served := func(path, body string) string {
		method := http.MethodGet
		if body != "" {
			method = http.MethodPost
		}
		r := httptest.NewRequest(method, path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		require.Equal(t, http.StatusOK, w.Code, w.Body.String())
		return w.Body.String()
	}
	board := filepath.Join(t.TempDir(), "board.json")
	require.NoError(t, os.WriteFile(board, []byte(twoByTwo), 0o600))
	for _, c := range []struct {
		args       []string
		path, body string
	}{
		{[]string{"check", board, "--json", "--no-exposures"}, "/v1/board?exposures=none", twoByTwo},
		{[]string{"--json", "check", "--no-exposures", "--shift", "3", "--mc=12", board}, "/v1/board?exposures=none&shift=3&mc=12", twoByTwo},
		{[]string{"check", "--json", "--no-exposures"}, "/v1/board?exposures=none", string(data.Demo)},
		{[]string{"pair", "sugar-maple", "--ring-b", "90", "black-walnut", "--from", "7.5", "--to", "10.5", "--json", "--derivation"}, "/v1/pair",
			`{"a":{"species":"sugar-maple","ring_angle":0},"b":{"species":"black-walnut","ring_angle":90},"moisture":{"mc":{"from":7.5,"to":10.5}},"derivation":true}`},
		{[]string{"move", "sugar-maple", "250", "--from", "45rh@20", "--to", "10.5", "--cut", "30", "--json"}, "/v1/movement",
			`{"species":"sugar-maple","size":250,"from":{"humidity":45,"temperature":20},"to_mc":10.5,"cut":30}`},
		{[]string{"finishes", "--json"}, "/v1/finishes", ""},
		{[]string{"adhesives", "--json"}, "/v1/adhesives", ""},
		{[]string{"exposures", "--json"}, "/v1/exposures", ""},
		{[]string{"check", "--json", "--exposure", "wash-one-face", "--air", "45@21", "--series", "7", board}, "/v1/board?exposures=wash-one-face&air=45@21&series=7", twoByTwo},
		{[]string{"emc", "--temp", "21", "--rh", "50", "--json"}, "/v1/emc?temperature=21&humidity=50", ""},
		{[]string{"emc", "--temp", "21", "--mc", "9", "--json"}, "/v1/emc?temperature=21&moisture=9", ""},
		{[]string{"species", "--json", "--q", "maple"}, "/v1/species?q=maple&limit=500", ""},
		{[]string{"species", "hard maple", "--json"}, "/v1/species/sugar-maple", ""},
		{[]string{"climates", "--json"}, "/v1/climates", ""},
	} {
		r := run(t, "", c.args...)
		assert.Equal(t, 0, r.code, "%v: %s", c.args, r.err)
		assert.Empty(t, r.err, c.args)
		assert.Equal(t, served(c.path, c.body), r.out, "%v", c.args)
	}
}

func TestVerdictLeadsAndExitIsZero(t *testing.T) {
	for _, args := range [][]string{{"check", "--no-exposures", "--long"}, {"check", "-", "--no-exposures"}, {"pair", "sugar-maple", "black-walnut", "--ring-b", "90", "--change", "12"}} {
		r := run(t, twoByTwo, args...)
		assert.Equal(t, 0, r.code, "%v %s", args, r.err)
		assert.Regexp(t, regexp.MustCompile(`^(HOLDS|TIGHT|DOUBTFUL|FAILS)  `), r.out, "%v", args)
		if args[1] == "--no-exposures" {
			assert.Contains(t, r.err, "demonstration board")
		}
	}
}

// A check is a page: what happens, where, what to do, how to keep the board, what to
// mind, how sure; the rest on request.
func TestCheckIsAPage(t *testing.T) {
	crossed := strings.ReplaceAll(twoByTwo, "black-walnut", "sugar-maple") // the first thing that helps is to turn a block
	r := run(t, crossed, "check", "-", "--no-exposures", "--shift", "12")
	require.Zero(t, r.code, r.err)
	at := 0
	for _, name := range []string{"FAILS", "Fails: ", "where ", "how ", "why ", "to do ", "care ", "mind ", "how sure ", "More: tanrad check --long"} {
		i := strings.Index(r.out[at:], "\n"+name)
		if name == "FAILS" {
			i = strings.Index(r.out, name)
		}
		require.GreaterOrEqual(t, i, 0, "%s\n%s", name, r.out)
		at += i
	}
	assert.Regexp(t, `to do +Turn \d blocks? in (its|their) places?`, r.out)
	assert.LessOrEqual(t, strings.Count(r.out, "\n"), 27)
	long := run(t, crossed, "check", "-", "--no-exposures", "--shift", "12", "--long")
	assert.Contains(t, long.out, "Joints: 4")
	assert.NotContains(t, r.out, "Joints:")
}

func TestFailAt(t *testing.T) {
	failing := strings.Replace(twoByTwo, `"field"`, `"home": "tropical-open", "field"`, 1)
	assert.Equal(t, 3, run(t, failing, "check", "-", "--fail-at", "tight", "--no-exposures", "--shift", "12").code)
	assert.Equal(t, 0, run(t, failing, "check", "-", "--no-exposures", "--shift", "12").code)
	calm := strings.ReplaceAll(strings.Replace(failing, "black-walnut", "sugar-maple", 1), `"ring_angle": 90`, `"ring_angle": 0`)
	assert.Equal(t, 0, run(t, calm, "check", "-", "--fail-at", "tight", "--no-exposures", "--shift", "12").code)
	assert.Equal(t, 2, run(t, calm, "check", "-", "--fail-at", "holds").code)
}

func TestInchFilesAreToldInInches(t *testing.T) {
	r := run(t, twoByTwo, "check", "-", "--no-exposures", "--long")
	assert.Contains(t, r.out, "3 in × 3 in × 1 1/2 in")
	r = run(t, "", "move", "black-cherry", "9 1/2 in", "--from", "7", "--to", "11")
	assert.Contains(t, r.out, "9 1/2 in at 7.0 % MC")
	r = run(t, "", "move", "black-cherry", "9.5", "--inches", "--from", "7", "--to", "11")
	assert.Contains(t, r.out, "9 1/2 in at 7.0 % MC")
	r = run(t, "", "move", "black-cherry", "240", "--from", "7", "--to", "11")
	assert.Contains(t, r.out, "240.0 mm at 7.0 % MC")
}

func TestPictureIsWritten(t *testing.T) {
	svg := filepath.Join(t.TempDir(), "board.svg")
	r := run(t, twoByTwo, "check", "-", "--svg", svg, "--no-exposures")
	require.Equal(t, 0, r.code, r.err)
	drawn, err := os.ReadFile(svg)
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(drawn, []byte("<svg")), "%.40s", drawn)
	assert.Equal(t, 1, run(t, twoByTwo, "check", "-", "--svg", filepath.Join(svg, "no", "such"), "--no-exposures").code)
}

// TestBadInputIsTwo: every mistake of the user, and its words on the right stream.
func TestBadInputIsTwo(t *testing.T) {
	for _, c := range []struct {
		words string
		args  []string
	}{
		{"unknown command", []string{"chek"}},
		{"unknown flag", []string{"check", "--wrong"}},
		{"no such file", []string{"check", "no-such-file.json"}},
		{"nearest: black-walnut", []string{"pair", "teak", "black-walnit"}},
		{"takes A B", []string{"pair", "teak"}},
		{"not both", []string{"pair", "teak", "teak", "--to", "9", "--change", "3"}},
		{"write % MC as 7.5", []string{"pair", "teak", "teak", "--to", "wet"}},
		{"/a/ring_angle", []string{"pair", "teak", "teak", "--ring-a", "NaN"}},
		{"/a/width", []string{"pair", "teak", "teak", "--width-a", "0"}},
		{"/length", []string{"pair", "teak", "teak", "--length", "long"}},
		{`change of moisture is outside its range at "/moisture/change"`, []string{"pair", "teak", "teak", "--change", "NaN"}},
		{"/moisture/change", []string{"pair", "teak", "teak", "--from", "28", "--change", "3"}},
		{"/moisture/from", []string{"pair", "teak", "teak", "--from", "50"}},
		{"SIZE is a length above zero, not -5", []string{"move", "teak", "-5", "--from", "7", "--to", "9"}},
		{"unknown flag: --wrong", []string{"move", "teak", "5", "--wrong"}},
		{"/humidity", []string{"pair", "teak", "teak", "--from", "120rh"}},
		{"/size", []string{"move", "teak", "0", "--from", "7", "--to", "9"}},
		{"--from", []string{"move", "teak", "40", "--to", "9"}},
		{"/humidity", []string{"emc"}},
		{"/humidity", []string{"emc", "--rh", "104"}},
		{"only the volume", []string{"species", "osage-orange"}},
		{"--home", []string{"check", "--home", "nowhere"}},
		{"nearest: wash-one-face", []string{"check", "--exposure", "wash-one-fase"}},
		{"--exposure", []string{"check", "--exposure", "standard", "--no-exposures"}},
		{"--air", []string{"check", "--air", "45"}},
		{"allowed -7.5 to 30", []string{"check", "--shift", "-9"}},
		{"--view", []string{"draw", "--view", "hstory"}},
		{"--of", []string{"draw", "--view", "history", "--of", "nothing", "--exposure", "wash-one-face"}},
		{"nearest: damp-spell", []string{"exposures", "damp-spel"}},
	} {
		r := run(t, "", c.args...)
		assert.Equal(t, 2, r.code, "%v: %s%s", c.args, r.out, r.err)
		assert.Contains(t, r.err, c.words, "%v", c.args)
		assert.Empty(t, r.out, "%v", c.args)
	}
	r := run(t, strings.Replace(twoByTwo, "black-walnut", "black-walnit", 1), "check", "-", "--json")
	assert.Equal(t, 2, r.code)
	var p api.Problem
	require.NoError(t, json.Unmarshal([]byte(r.out), &p))
	assert.Equal(t, "#/stock/W/species", *p.Errors[0].Pointer)
	assert.Equal(t, 2, run(t, strings.Repeat(" ", maxFile+1), "check", "-").code, "bounded")
}

func TestHelpNamesEveryCommand(t *testing.T) {
	r := run(t, "", "help")
	assert.Equal(t, 0, r.code)
	for _, name := range []string{"check", "pair", "move", "emc", "species", "climates", "serve", "version"} {
		assert.Regexp(t, `(?m)^  `+name+` `, r.out)
	}
	assert.Contains(t, run(t, "", "version").out, "tanrad ")
	assert.Equal(t, 0, run(t, "").code)
}

func TestSpeciesTellsItsCautions(t *testing.T) {
	r := run(t, "", "species", "Juglans nigra")
	assert.Contains(t, r.out, "Wood dust")
	assert.Contains(t, r.out, "Black walnut: ")
	assert.Contains(t, r.out, "your country")
	r = run(t, "", "species", "--data", "incomplete")
	assert.Contains(t, r.out, "osage-orange")
}

// TestServeRunsAndEnds starts the whole program and ends it by its context.
func TestServeRunsAndEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var out bytes.Buffer
	log := &lines{told: make(chan string, 16)}
	done := make(chan int, 1)
	go func() {
		done <- Run(ctx, []string{"serve", "--addr", "127.0.0.1:0", "--data", t.TempDir()}, strings.NewReader(""), &out, log)
	}()
	var addr string
	select {
	case line := <-log.told:
		addr = regexp.MustCompile(`addr=(\S+)`).FindStringSubmatch(line)[1]
	case <-time.After(10 * time.Second):
		t.Fatal("never ready")
	}
	r, err := http.Get("http://" + addr + "/healthz")
	require.NoError(t, err)
	r.Body.Close()
	assert.Equal(t, 200, r.StatusCode)
	cancel()
	assert.Equal(t, 0, <-done)
	assert.Equal(t, 1, run(t, "", "serve", "--addr", "256.0.0.1:http").code)
}

// lines hands on each write, one log line.
type lines struct{ told chan string }

func (l *lines) Write(p []byte) (int, error) {
	l.told <- string(p)
	return len(p), nil
}

// A fraction without a unit, moistures that are humidities: taken as they stand,
// and asked about under the answer.
func TestMoveAsksAboutSlips(t *testing.T) {
	r := run(t, "", "move", "sugar-maple", "1 1/2", "--from", "45", "--to", "65")
	require.Zero(t, r.code, r.err)
	assert.Regexp(t, `Did you\s+mean\s+1\s+1/2\s+in\?`, r.out)
	assert.Regexp(t, `Did you\s+mean a humidity of the air\?`, r.out)
	r = run(t, "", "move", "sugar-maple", "250", "--from", "7.5", "--to", "10.5")
	require.Zero(t, r.code, r.err)
	assert.NotContains(t, r.out, "Is this right?")
}
