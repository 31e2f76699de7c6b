package api

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

const (
	goodPair = `{"a": {"species": "sugar-maple", "ring_angle": 90}, "b": {"species": "black-walnut", "ring_angle": 0, "grain": "along"},
		"moisture": {"mc": {"from": 7.5, "to": 10.5}}, "derivation": true, "length": 40, "duration": "season"}`
	goodMovement = `{"species": "sugar-maple", "size": 250, "cut": 30, "from_mc": 7.5, "to": {"humidity": 65, "temperature": 20}}`
	goodBoard    = `{"tanrad": 1, "name": "two by two", "units": "mm", "thickness": 38,
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": 90}},
		"field": {"grid": {"block": [40, 40], "rows": ["MW", "WM"]}}}`
)

// twoBlocks is the smallest board with a joint, for what takes long.
var twoBlocks = strings.Replace(goodBoard, `["MW", "WM"]`, `["MW"]`, 1)

// TestContractAndRoutesAgree: every route is in the contract and the other way round.
func TestContractAndRoutesAgree(t *testing.T) {
	h := newHarness(t, Config{})
	var promised []string
	for path, item := range h.doc.Paths.Map() {
		for method := range item.Operations() {
			if path == "/page/{file}" {
				for _, file := range item.Get.Parameters[0].Value.Schema.Value.Enum {
					promised = append(promised, method+" /page/"+file.(string))
				}
				continue
			}
			promised = append(promised, method+" "+path)
		}
	}
	assert.ElementsMatch(t, promised, templates(h.server))
}

// templates lists the routes in the form of openapi.yaml.
func templates(s *Server) []string {
	var out []string
	for _, r := range s.engine.Routes() {
		if r.Method == http.MethodHead {
			continue
		}
		out = append(out, r.Method+" "+strings.NewReplacer(":id", "{id}", ":unit", "{unit}", ":board", "{board}").Replace(r.Path))
	}
	return out
}

// briefly asks the long questions for little: a year of exposures is checked elsewhere.
var briefly = map[string]string{"/v1/board/improve": "?exposures=none&rounds=1", "/v1/board/advice": "?exposures=none", "/v1/board/windows": "?exposures=none",
	"/v1/board/plan": "?exposures=none"}

// TestExamplesOfTheContractWork sends every example body as it stands there.
func TestExamplesOfTheContractWork(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{Jobs: broker(t)})
	soon := newHarness(t, Config{CheckTime: 3 * time.Second}) // of windows what is done by then; see TestWindowsAndAdvice
	sent := 0
	for path, item := range h.doc.Paths.Map() {
		if item.Post == nil {
			continue
		}
		if drawing := item.Post.RequestBody.Value.Content[typeSVG]; drawing != nil {
			w := h.good(request{path: path + "?units=mm&thickness=38&stock=%23d8c7a8%3Dsugar-maple", kind: typeSVG, body: drawing.Example.(string)})
			require.Equal(t, http.StatusOK, w.Code, "%s: %s", path, short(w))
			sent++
			continue
		}
		body, err := json.Marshal(item.Post.RequestBody.Value.Content["application/json"].Example)
		require.NoError(t, err)
		by := h
		if path == "/v1/board/windows" {
			by = soon
		}
		w := by.good(request{path: path + briefly[path], body: string(body)})
		want := http.StatusOK
		if path == "/v1/jobs" {
			want = http.StatusAccepted
		}
		assert.Equal(t, want, w.Code, "%s: %s", path, short(w))
		sent++
	}
	assert.GreaterOrEqual(t, sent, 4)
}

// TestGoodRequests holds request and answer of every handler to the contract.
func TestGoodRequests(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	for _, q := range []request{
		{path: "/healthz"}, {path: "/readyz"},
		{path: "/openapi.yaml"}, {path: "/openapi.json"}, {path: "/"}, {path: "/reference"},
		{path: "/page/page.css"}, {path: "/page/bench.css"}, {path: "/page/bench.js"}, {path: "/page/drawing.js"}, {path: "/page/boardfile.js"},
		{path: "/page/service.js"}, {path: "/page/teach.css"},
		{path: "/lessons"}, {path: "/words"}, {path: "/lessons/square-goes-diamond"},
		{path: "/v1/lessons"}, {path: "/v1/words"}, {path: "/v1/lessons/log-splits"}, {path: "/v1/lessons/mixing-woods"}, {path: "/v1/lessons/cross-grain-width"}, {path: "/page/icon.svg"}, {path: "/page/demo.json"},
		{path: "/v1/board/shape", body: goodBoard}, {path: "/v1/board/shape?state=room&air=room=30@21&exposures=none", body: goodBoard},
		{path: "/v1/board/shape?state=wash-one-face&exposures=wash-one-face&hour=3", body: goodBoard},
		{path: "/v1/species"}, {path: "/v1/species?q=maple&class=hardwood&limit=3&offset=1"},
		{path: "/v1/species?data=incomplete&limit=500"}, {path: "/v1/species?bonding=well&colour=brown"},
		{path: "/v1/species/sugar-maple"}, {path: "/v1/species/Acer%20saccharum"},
		{path: "/v1/emc?temperature=21&humidity=50"}, {path: "/v1/emc?temperature=21&moisture=9.2"},
		{path: "/v1/climates"}, {path: "/v1/exposures"}, {path: "/v1/finishes"}, {path: "/v1/adhesives"},
		{path: "/v1/movement", body: goodMovement},
		{path: "/v1/pair", body: goodPair},
		{path: "/v1/board", body: goodBoard}, {path: "/v1/board", body: string(data.Demo)},
		{path: "/v1/board?home=mediterranean&mc=12&mc=6&shift=-3&air=45@21&air=cellar=80@12&exposures=none&cracks=false", body: goodBoard},
		{path: "/v1/board?exposures=wash-one-face&exposures=damp-spell&series=5", body: goodBoard},
		{path: "/v1/board?exposures=standard&refine=1", body: twoBlocks},
		{path: "/v1/board?exposures=none&explain=r1c2", body: goodBoard}, {path: "/v1/board?exposures=none&explain=size", body: goodBoard},
		{path: "/v1/board?exposures=none&explain=split&by=stress", body: goodBoard}, {path: "/v1/board?exposures=none&explain=worst&by=stress", body: goodBoard}, {path: "/v1/board?exposures=none&by=stress", body: goodBoard},
		{path: "/v1/board", body: goodBoard, header: map[string]string{"Accept": "image/svg+xml"}},
		{path: "/v1/board", body: goodBoard, header: map[string]string{"Accept": "image/*;q=0.5, application/json;q=0.1"}},
	} {
		w := h.good(q)
		assert.Equal(t, http.StatusOK, w.Code, "%s: %s", q.path, short(w))
		assert.NotZero(t, w.Body.Len(), q.path)
	}
}

// TestHistoriesKeepToTheContract asks for everything a report can hold.
func TestHistoriesKeepToTheContract(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/board?series=40", body: goodBoard})
	assert.Equal(t, http.StatusOK, w.Code, "%s", short(w))
}

// TestRequestsAtTheEndOfWhatIsAllowed: a thick board under a dense finish follows too
// slowly to wait for, which is an answer; a dishwasher that is no warmer than a
// damp kitchen, and a heat source that is cooler, stay within what air can hold.
func TestRequestsAtTheEndOfWhatIsAllowed(t *testing.T) {
	h := newHarness(t, Config{})
	const maple = `"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8,"grain":0}},"field":{"grid":{"block":[300,100],"rows":["A","A"]}}`
	slow := h.good(request{path: "/v1/board?cracks=false", body: `{"tanrad":1,"units":"mm","thickness":150,"finish":"paraffin-dipped",` + maple + `}`})
	assert.Equal(t, http.StatusOK, slow.Code, "%s", short(slow))
	assert.Contains(t, slow.Body.String(), `"ninety_hours":null,"beyond_years":40`)
	damp := h.good(request{path: "/v1/board?cracks=false", body: `{"tanrad":1,"units":"mm","thickness":20,"home":"tropical-open",` + maple +
		`,"exposures":[{"name":"dishwasher","temperature":20},{"name":"near-heat","temperature":20}]}`})
	assert.Equal(t, http.StatusOK, damp.Code, "%s", short(damp))
	change := h.send(request{path: "/v1/board", body: `{"tanrad":1,"units":"mm","thickness":20,"home":"tropical-open",` + maple +
		`,"exposures":[{"name":"wash-one-face"},{"name":"flat-on-dry-counter","humidity_change":60}]}`})
	assert.Equal(t, http.StatusUnprocessableEntity, change.Code)
	assert.Contains(t, change.Body.String(), "/exposures/1/humidity_change")
}

// TestEverySpeciesPageKeepsToTheContract asks for each wood by its id.
func TestEverySpeciesPageKeepsToTheContract(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/species?limit=500"})
	var list struct {
		Total   int
		Species []struct{ ID string }
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &list))
	require.Equal(t, list.Total, len(list.Species))
	require.Greater(t, list.Total, 100)
	for _, s := range list.Species {
		assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/species/" + s.ID}).Code, s.ID)
	}
}

// TestEveryKeptBoard sends every good board and every bad one kept in testdata.
// A good board must be one to the contract's board form as well; of a bad one,
// each fault the file beside it lists must stand on the wire.
func TestEveryKeptBoard(t *testing.T) {
	h := newHarness(t, Config{})
	good, err := filepath.Glob("../testdata/boards/ok/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, good)
	for _, name := range good {
		src, err := os.ReadFile(name)
		require.NoError(t, err)
		quick := "" // of large boards the report by stress, without the cracks and the chance that the small ones have
		board, err := layout.Read(src)
		require.NoError(t, err, name)
		if testing.Short() && len(board.Pieces) > 16 {
			continue
		}
		if len(board.Pieces) > 16 && os.Getenv("TANRAD_LONG") != "1" {
			quick = "&cracks=false&chance=false&by=stress"
		}
		w := h.good(request{path: "/v1/board?exposures=none" + quick, body: string(src)})
		assert.Equal(t, http.StatusOK, w.Code, "%s: %s", name, short(w))
	}
	bad, err := filepath.Glob("../testdata/boards/bad/*.faults.json")
	require.NoError(t, err)
	require.NotEmpty(t, bad)
	for _, name := range bad {
		src, err := os.ReadFile(strings.Replace(name, ".faults.json", ".json", 1))
		require.NoError(t, err)
		kept, err := os.ReadFile(name)
		require.NoError(t, err)
		var want []fault.Fault
		require.NoError(t, json.Unmarshal(kept, &want), name)
		w := h.send(request{path: "/v1/board", body: string(src)})
		assert.GreaterOrEqual(t, w.Code, 400, name)
		assert.Less(t, w.Code, 500, name)
		var p Problem
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p), name)
		require.Len(t, p.Errors, len(want), "%s: one entry for each fault: %s", name, short(w))
		for i, f := range want {
			assert.Equal(t, f.Rule, p.Errors[i].Rule, name)
			assert.Equal(t, "#"+f.Pointer, *p.Errors[i].Pointer, name)
		}
	}
}

// TestReferencePageIsComplete: every path and every form is on it, and it
// names no outside address.
func TestReferencePageIsComplete(t *testing.T) {
	h := newHarness(t, Config{})
	page := h.good(request{path: "/reference"}).Body.String()
	for path := range h.doc.Paths.Map() {
		assert.Contains(t, page, "<code>"+path+"</code>")
	}
	for name := range h.doc.Components.Schemas {
		assert.Contains(t, page, `id="form-`+name+`"`)
	}
	for _, path := range []string{"/", "/reference", "/page/page.css", "/page/bench.css", "/page/bench.js", "/page/boardfile.js", "/page/service.js"} {
		body := h.good(request{path: path}).Body.String()
		body = strings.ReplaceAll(body, "http://www.w3.org/2000/svg", "") // a name of an example, which loads nothing
		assert.NotContains(t, body, "http://", path)
		assert.NotContains(t, body, "src=\"//", path)
		assert.NotContains(t, body, "https://", path)
	}
	assert.NotContains(t, page, "<no value>")
}

func TestContractAsJSONIsTheSame(t *testing.T) {
	h := newHarness(t, Config{})
	fromJSON, err := loadContract(h.good(request{path: "/openapi.json"}).Body.Bytes())
	require.NoError(t, err)
	a, err := json.Marshal(fromJSON)
	require.NoError(t, err)
	b, err := json.Marshal(h.doc)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(a, b))
}

// TestMemoryChangesNothing: a board asked for twice, and again by a service that
// knows nothing yet, gets the same bytes.
func TestMemoryChangesNothing(t *testing.T) {
	knows := newHarness(t, Config{})
	first := knows.good(request{path: "/v1/board", body: goodBoard}).Body.String()
	knows.good(request{path: "/v1/board", body: fourBlocks})
	assert.Equal(t, first, knows.good(request{path: "/v1/board", body: goodBoard}).Body.String())
	fresh := newHarness(t, Config{})
	assert.Equal(t, first, fresh.good(request{path: "/v1/board", body: goodBoard}).Body.String())
}
