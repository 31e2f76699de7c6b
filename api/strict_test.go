package api

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
)

// problem reads the problem of an answer that must be one.
func problem(t *testing.T, w *httptest.ResponseRecorder) Problem {
	t.Helper()
	var p Problem
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p), "%s", short(w))
	assert.Equal(t, w.Code, p.Status)
	assert.Equal(t, w.Header().Get(requestIDHeader), p.RequestID)
	assert.NotEmpty(t, p.Title, p.Type)
	return p
}

// TestHarnessCanFail: the contract check sees a wrong word, a key too many and
// a status that was never promised.
func TestHarnessCanFail(t *testing.T) {
	h := newHarness(t, Config{})
	check := func(path string, status int, body string) error {
		return openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
			RequestValidationInput: h.input(request{path: path}), Status: status,
			Header: http.Header{"Content-Type": {"application/json"}}, Body: io.NopCloser(bytes.NewReader([]byte(body))),
		})
	}
	require.NoError(t, check("/healthz", 200, `{"status":"alive"}`))
	assert.Error(t, check("/healthz", 200, `{"status":"dead"}`))
	assert.Error(t, check("/healthz", 200, `{"status":"alive","more":1}`))
	assert.Error(t, check("/healthz", 200, `{"status":null}`))
	good := h.good(request{path: "/v1/board?exposures=none", body: goodBoard}).Body.String()
	input := h.input(request{path: "/v1/board", body: goodBoard})
	board := func(body string) error {
		return openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
			RequestValidationInput: input, Status: 200,
			Header: http.Header{"Content-Type": {"application/json"}}, Body: io.NopCloser(strings.NewReader(body)),
		})
	}
	require.NoError(t, board(good))
	assert.Error(t, board(strings.Replace(good, `"verdict":"`, `"verdict":"not `, 1)))
	assert.Error(t, board(strings.Replace(good, `"width":`, `"widths":`, 1)))
}

// TestStrictReading is the table of what a lenient service lets pass.
func TestStrictReading(t *testing.T) {
	h := newHarness(t, Config{})
	swap := func(old, new string) string {
		require.Contains(t, goodBoard, old)
		return strings.Replace(goodBoard, old, new, 1)
	}
	for name, c := range map[string]struct {
		body    string
		status  int
		rule    fault.Rule
		pointer string
	}{
		"unknown key":        {swap(`"thickness": 38`, `"thickness": 38, "feet": 4`), 422, fault.UnknownKey, "#/feet"},
		"capitals":           {swap(`"thickness": 38`, `"thickness": 38, "THICKNESS": 4`), 422, fault.UnknownKey, "#/THICKNESS"},
		"key twice":          {swap(`"thickness": 38`, `"thickness": 38, "thickness": 4`), 422, fault.RepeatedKey, "#/thickness"},
		"text after":         {goodBoard + "x", 400, fault.Syntax, "#"},
		"second value after": {goodBoard + "{}", 400, fault.Syntax, "#"},
		"list too short":     {swap(`"block": [40, 40]`, `"block": [40]`), 422, fault.WrongLength, "#/field/grid/block"},
		"list too long":      {swap(`"block": [40, 40]`, `"block": [40, 40, 40]`), 422, fault.WrongLength, "#/field/grid/block"},
		"null for a number":  {swap(`"thickness": 38`, `"thickness": null`), 422, fault.WrongType, "#/thickness"},
		"two fields":         {swap(`"field": {`, `"field": {"pieces": [{"stock": "M", "outline": [[0, 0], [40, 0], [40, 40]]}], `), 422, fault.NotAllowed, "#/field/pieces"},
		"not a number":       {swap(`"thickness": 38`, `"thickness": NaN`), 400, fault.Syntax, "#"},
		"infinite":           {swap(`"thickness": 38`, `"thickness": 1e400`), 422, fault.OutOfRange, "#/thickness"},
		"ragged":             {swap(`"WM"`, `"W"`), 422, fault.Ragged, "#/field/grid/rows/1"},
		"letter, no stock":   {swap(`"WM"`, `"WX"`), 422, fault.UnknownName, "#/field/grid/rows/1"},
		"unknown wood":       {swap(`black-walnut`, `black-walnit`), 422, fault.UnknownName, "#/stock/W/species"},
		"empty":              {" ", 400, fault.Syntax, "#"},
		"not UTF-8":          {swap(`two by two`, "two \xff two"), 400, fault.Syntax, "#"},
		"deep":               {strings.Repeat("[", 5000) + strings.Repeat("]", 5000), 413, fault.TooLarge, "#"},
	} {
		t.Run(name, func(t *testing.T) {
			w := h.send(request{path: "/v1/board", body: c.body})
			p := problem(t, w)
			assert.Equal(t, c.status, w.Code, "%s", short(w))
			require.Len(t, p.Errors, 1, "%s", short(w))
			assert.Equal(t, c.rule, p.Errors[0].Rule)
			assert.Equal(t, c.pointer, *p.Errors[0].Pointer)
		})
	}
}

// TestZeroIsAnAngle: a required number may be 0.
func TestZeroIsAnAngle(t *testing.T) {
	h := newHarness(t, Config{})
	assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/pair", body: `{"a":{"species":"teak","ring_angle":0},"b":{"species":"teak","ring_angle":0},"moisture":{"change":0}}`}).Code)
	assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/emc?temperature=0&humidity=0"}).Code)
}

// TestOneEntryForEachFault counts entries on the wire.
func TestOneEntryForEachFault(t *testing.T) {
	h := newHarness(t, Config{})
	p := problem(t, h.send(request{path: "/v1/pair", body: `{"a": {"species": "sugar-mapel", "ring_angle": "flat", "colour": 1}, "moisture": {"change": 3, "mc": {}}}`}))
	var places []string
	for _, e := range p.Errors {
		places = append(places, *e.Pointer)
	}
	assert.ElementsMatch(t, []string{"#/a/colour", "#/a/ring_angle", "#/b", "#/moisture/mc"}, places)

	p = problem(t, h.send(request{path: "/v1/board", body: strings.NewReplacer("black-walnut", "black-walnit").Replace(goodBoard)}))
	require.Len(t, p.Errors, 1)
	assert.Equal(t, "black-walnut", p.Errors[0].Nearest[0])
	assert.NotEmpty(t, p.Errors[0].Found)
	assert.NotEmpty(t, p.Errors[0].Allowed)
}

// TestParametersAreStrict: unknown, repeated, empty, wrong, out of range, and
// things that exclude each other.
func TestParametersAreStrict(t *testing.T) {
	h := newHarness(t, Config{})
	for path, want := range map[string]map[string]fault.Rule{
		"/v1/emc":                                            {"temperature": fault.MissingKey, "humidity": fault.MissingKey},
		"/v1/emc?temperature=21":                             {"humidity": fault.MissingKey},
		"/v1/emc?temperature=21&humidity=104":                {"humidity": fault.OutOfRange},
		"/v1/emc?temperature=x&humidity=50":                  {"temperature": fault.WrongType},
		"/v1/emc?temperature=NaN&humidity=50":                {"temperature": fault.WrongType},
		"/v1/emc?temperature=21&humidity=50&moisture=9":      {"moisture": fault.NotAllowed},
		"/v1/emc?temperature=21&moisture=29":                 {"moisture": fault.OutOfRange},
		"/v1/emc?temperature=21&humidity=50&humidity=60":     {"humidity": fault.RepeatedKey},
		"/v1/emc?temperature=21&humidity=":                   {"humidity": fault.WrongLength},
		"/v1/emc?Temperature=21&temperature=21&humidity=50":  {"Temperature": fault.UnknownKey},
		"/v1/species?limit=0":                                {"limit": fault.OutOfRange},
		"/v1/species?limit=1.5&class=wood&offset=-1&colour=": {"limit": fault.WrongType, "class": fault.NotOneOf, "offset": fault.OutOfRange, "colour": fault.WrongLength},
		"/v1/species?q=" + strings.Repeat("a", 101):          {"q": fault.WrongLength},
		"/v1/species?%zz":                                    {"": fault.Syntax},
		"/v1/species/teak?x=1":                               {"x": fault.UnknownKey},
		"/v1/climates?x=1":                                   {"x": fault.UnknownKey},
	} {
		w := h.send(request{path: path})
		p := problem(t, w)
		assert.Equal(t, "/problems/parameters", p.Type, path)
		got := map[string]fault.Rule{}
		for _, e := range p.Errors {
			got[e.Parameter] = e.Rule
			assert.Nil(t, e.Pointer, path)
		}
		assert.Equal(t, want, got, path)
		assert.Len(t, p.Errors, len(want), path)
	}
	for path, parameter := range map[string]string{"/v1/board?shift=40": "shift", "/v1/board?home=nowhere": "home", "/v1/board?refine=9": "refine", "/v1/board?x=1": "x", "/v1/board?explain=": "explain", "/v1/board?fields=": "fields", "/v1/board?fields=verdict&fields=": "fields", "/v1/pair?x=1": "x"} {
		p := problem(t, h.send(request{path: path, body: goodBoard}))
		require.Len(t, p.Errors, 1, path)
		assert.Equal(t, parameter, p.Errors[0].Parameter, path)
	}
}

func TestUnknownWoodInAPathIs404(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.send(request{path: "/v1/species/black-walnit"})
	assert.Equal(t, http.StatusNotFound, w.Code)
	p := problem(t, w)
	assert.Equal(t, "id", p.Errors[0].Parameter)
	assert.Equal(t, "black-walnut", p.Errors[0].Nearest[0])
	w = h.send(request{path: "/v1/species/osage-orange"})
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Equal(t, fault.MissingData, problem(t, w).Errors[0].Rule, "known, but never measured")
}

func TestWrongMethodRouteAndTypes(t *testing.T) {
	h := newHarness(t, Config{})
	for _, c := range []struct {
		q      request
		status int
		kind   string
	}{
		{request{method: "DELETE", path: "/v1/pair"}, 405, "method"},
		{request{method: "GET", path: "/v1/board"}, 405, "method"},
		{request{path: "/nowhere"}, 404, "not-found"},
		{request{path: "/v1/species/"}, 404, "not-found"},
		{request{path: "/v1/pair", body: goodPair, kind: "text/plain"}, 415, "media-type"},
		{request{path: "/v1/pair", body: goodPair, kind: "-"}, 415, "media-type"},
		{request{path: "/v1/pair", body: goodPair, kind: "application/json; charset=latin1"}, 415, "media-type"},
		{request{path: "/v1/pair", body: goodPair, kind: "application/merge-patch+json"}, 415, "media-type"},
		{request{path: "/v1/board", body: goodBoard, kind: "application/vnd.api+json"}, 415, "media-type"},
		{request{method: "PATCH", path: "/v1/board/" + strings.Repeat("a", 24), body: "{}", kind: "application/json-patch+json"}, 415, "media-type"},
		{request{path: "/v1/board/outline?units=mm&thickness=38", body: "<svg/>", kind: "application/json"}, 415, "media-type"},
		{request{path: "/v1/pair", body: goodPair, header: map[string]string{"Content-Encoding": "gzip"}}, 415, "media-type"},
		{request{path: "/v1/pair", body: goodPair, header: map[string]string{"Accept": "text/html"}}, 406, "accept"},
		{request{path: "/v1/board", body: goodBoard, header: map[string]string{"Accept": "image/png"}}, 406, "accept"},
		{request{path: "/v1/emc?temperature=1&humidity=1", header: map[string]string{"Accept": "application/json;q=0"}}, 406, "accept"},
		{request{path: "/v1/pair", body: "{" + strings.Repeat(" ", smallBody) + "}"}, 413, "too-large"},
	} {
		w := h.send(c.q)
		assert.Equal(t, c.status, w.Code, "%+v", c.q.path)
		assert.Equal(t, "/problems/"+c.kind, problem(t, w).Type)
	}
	assert.Equal(t, "POST", h.send(request{method: "DELETE", path: "/v1/pair"}).Header().Get("Allow"))
	assert.Equal(t, http.StatusOK, h.send(request{path: "/v1/pair", body: goodPair, kind: "application/json; charset=UTF-8"}).Code)
	for _, kind := range []string{typePatch, typeJSON} { // the board is gone, the type is not at fault
		assert.Equal(t, http.StatusNotFound, h.good(request{method: "PATCH", path: "/v1/board/" + strings.Repeat("a", 24), body: "{}", kind: kind}).Code, kind)
	}
	assert.Equal(t, typePatch+", "+typeJSON, h.send(request{method: "PATCH", path: "/v1/board/" + strings.Repeat("a", 24), body: "{}", kind: "text/plain"}).Header().Get("Accept-Patch"))
	assert.Equal(t, http.StatusOK, h.send(request{method: "HEAD", path: "/v1/climates"}).Code)
}

// TestNaNIsNotAnEmptySuccess: what cannot be encoded is a problem.
func TestNaNIsNotAnEmptySuccess(t *testing.T) {
	h := newHarness(t, Config{})
	h.server.engine.GET("/nan", func(c *gin.Context) { h.server.give(c, map[string]float64{"x": math.NaN()}) })
	w := h.send(request{path: "/nan"})
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.Equal(t, "/problems/internal", problem(t, w).Type)
	assert.NotContains(t, w.Body.String(), "NaN")
}

func TestPanicTellsNothing(t *testing.T) {
	h := newHarness(t, Config{})
	h.server.engine.GET("/panic", func(*gin.Context) { panic("secret words") })
	w := h.send(request{path: "/panic", header: map[string]string{requestIDHeader: "mine-1"}})
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	p := problem(t, w)
	assert.Equal(t, "mine-1", p.RequestID)
	assert.NotContains(t, w.Body.String(), "secret")
	for _, bad := range []string{"a b", strings.Repeat("a", 65), "<x>", ""} {
		w := h.send(request{path: "/healthz", header: map[string]string{requestIDHeader: bad}})
		assert.Len(t, w.Header().Get(requestIDHeader), 24, "a strange id is replaced")
	}
}

// TestEveryRuleHasAStatus: a rule without a row in the table would be a 500.
func TestEveryRuleHasAStatus(t *testing.T) {
	h := newHarness(t, Config{})
	inContract := h.doc.Components.Schemas["Fault"].Value.Properties["rule"].Value.Enum
	require.Len(t, inContract, len(statusOf))
	for _, rule := range inContract {
		p := ProblemOf(fault.Fault{Rule: fault.Rule(rule.(string)), Pointer: "/x", Detail: "d"})
		assert.NotEqual(t, http.StatusInternalServerError, p.Status, rule)
		assert.NotEmpty(t, p.Title)
		assert.Len(t, p.Errors, 1)
	}
	assert.Equal(t, http.StatusInternalServerError, ProblemOf(io.ErrUnexpectedEOF).Status)
	assert.Empty(t, ProblemOf(io.ErrUnexpectedEOF).Detail)
	assert.Equal(t, http.StatusUnprocessableEntity, ProblemOf(context.DeadlineExceeded).Status)
}
