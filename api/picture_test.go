package api

import (
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/picture"
)

// TestEveryView: each view of the contract is a whole SVG of the board asked for.
func TestEveryView(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	sliced, err := os.ReadFile("../testdata/boards/ok/slices-over.json")
	require.NoError(t, err)
	for _, view := range picture.Views() {
		body := goodBoard
		if view == picture.ViewSlices {
			body = string(sliced)
		}
		w := h.good(request{path: "/v1/board/picture?exposures=wash-one-face&exposures=year-at-home&view=" + view, body: body})
		require.Equal(t, http.StatusOK, w.Code, "%s: %s", view, short(w))
		assert.Equal(t, typeSVG, w.Header().Get("Content-Type"))
		wholeXML(t, w.Body.String())
		for _, nonsense := range []string{"NaN", "Inf", "<script"} {
			assert.NotContains(t, w.Body.String(), nonsense, view)
		}
	}
	built, err := os.ReadFile("../testdata/boards/ok/build-sails.json")
	require.NoError(t, err)
	w := h.good(request{path: "/v1/board/picture?view=slices", body: string(built)})
	assert.Contains(t, w.Body.String(), "panel E: 120 × 12 mm, 120 mm long")
}

// A picture is had as PNG of the width asked for, told from the SVG of the same
// question; a width out of bounds is a fault of the parameter.
func TestPictureAsPNG(t *testing.T) {
	h := newHarness(t, Config{})
	ask := func(accept, width string) *httptest.ResponseRecorder {
		return h.send(request{path: "/v1/board/picture?exposures=none&width=" + width, body: goodBoard, header: map[string]string{"Accept": accept}})
	}
	for range 2 { // the second may come from what is kept
		w := ask("image/png", "300")
		require.Equal(t, http.StatusOK, w.Code, short(w))
		assert.Equal(t, "image/png", w.Header().Get("Content-Type"))
		m, err := png.Decode(w.Body)
		require.NoError(t, err)
		assert.Equal(t, 300, m.Bounds().Dx())
		assert.Equal(t, typeSVG, ask("image/*", "300").Header().Get("Content-Type"), "the first of equals")
	}
	w := ask("image/png", "99")
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "width")
}

func wholeXML(t *testing.T, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		_, err := d.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err)
	}
}

// TestPicturesOfAMoment: exposure, state and hour choose what is shown.
func TestPicturesOfAMoment(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	draw := func(query string) string {
		w := h.good(request{path: "/v1/board/picture?" + query, body: goodBoard})
		require.Equal(t, http.StatusOK, w.Code, "%s: %s", query, short(w))
		return w.Body.String()
	}
	assert.Contains(t, draw("view=history&exposure=wash-one-face"), "One face washed")
	assert.Contains(t, draw("view=history&exposures=damp-spell"), "A damp week")
	assert.Contains(t, draw("view=deformed&state=driest-month"), "in balance with")
	assert.Contains(t, draw("view=deformed&state=cellar&air=cellar=80@12"), "80\u00a0% humidity")
	assert.NotEqual(t, draw("view=surface&exposure=wash-one-face&hour=1"), draw("view=surface&exposure=wash-one-face&hour=20"))
	assert.Equal(t, draw("view=layout"), draw(""), "layout is the default")
}

// TestPictureFaults: what a picture cannot show is told at the parameter.
func TestPictureFaults(t *testing.T) {
	h := newHarness(t, Config{})
	for query, want := range map[string]struct {
		parameter string
		rule      fault.Rule
	}{
		"view=histroy":                        {"view", fault.NotOneOf},
		"view=slices":                         {"view", fault.NotAllowed},
		"view=history&exposures=none":         {"view", fault.NotAllowed},
		"view=history&exposure=wash-one-fase": {"exposure", fault.UnknownName},
		"view=deformed&state=driest-moth":     {"state", fault.UnknownName},
		"view=surface&hour=-1":                {"hour", fault.OutOfRange},
		"veiw=surface":                        {"veiw", fault.UnknownKey},
	} {
		faults := h.refused(request{path: "/v1/board/picture?" + query, body: goodBoard}).Errors
		require.Len(t, faults, 1, query)
		assert.Equal(t, want.parameter, faults[0].Parameter, query)
		assert.Equal(t, want.rule, faults[0].Rule, query)
	}
}

// TestConditionFaults: each parameter of a check refuses what it cannot take,
// at its own place, before any sum is done.
func TestConditionFaults(t *testing.T) {
	h := newHarness(t, Config{})
	for query, want := range map[string]struct {
		parameter string
		rule      fault.Rule
	}{
		"home=mars":                  {"home", fault.UnknownName},
		"air=wet":                    {"air", fault.WrongType},
		"air=150@20":                 {"air", fault.OutOfRange},
		"air=NaN@20":                 {"air", fault.OutOfRange},
		"mc=31":                      {"mc", fault.OutOfRange},
		"mc=NaN":                     {"mc", fault.WrongType},
		"shift=-20":                  {"shift", fault.OutOfRange},
		"exposures=wash-one-fase":    {"exposures", fault.UnknownName},
		"exposures=none&exposures=x": {"exposures", fault.NotAllowed},
		"exposure=wash-one-face":     {"exposure", fault.UnknownKey},
		"series=401":                 {"series", fault.OutOfRange},
		"refine=3":                   {"refine", fault.OutOfRange},
		"refine=1&refine=2":          {"refine", fault.RepeatedKey},
		"cracks=no":                  {"cracks", fault.NotOneOf},
		"moisture=12":                {"moisture", fault.UnknownKey},
	} {
		p := h.refused(request{path: "/v1/board?" + query, body: goodBoard})
		require.NotEmpty(t, p.Errors, query)
		assert.Equal(t, want.parameter, p.Errors[0].Parameter, query)
		assert.Equal(t, want.rule, p.Errors[0].Rule, query)
		assert.Equal(t, "/problems/parameters", p.Type)
	}
	w := h.send(request{path: "/v1/board?exposurse=none", body: goodBoard})
	assert.Contains(t, w.Body.String(), `"nearest":["exposures"]`)
}

// TestExposureFaultsOfTheFile point into the body.
func TestExposureFaultsOfTheFile(t *testing.T) {
	h := newHarness(t, Config{})
	bad := strings.TrimSuffix(strings.TrimSpace(goodBoard), "}") + `, "exposures": [{"name": "year-at-home"}, {"name": "wash-one-face", "minutes": 9999, "fase": "top"}, {"name": "sink-soke"}]}`
	p := h.refused(request{path: "/v1/board", body: bad})
	places := map[string]fault.Rule{}
	for _, e := range p.Errors {
		places[*e.Pointer] = e.Rule
	}
	assert.Equal(t, map[string]fault.Rule{"#/exposures/1/minutes": fault.OutOfRange, "#/exposures/1/fase": fault.UnknownKey, "#/exposures/2/name": fault.UnknownName}, places)
}

// TestInnerErrorsStayInside: what the solver says of a matrix is no business of a client's.
func TestInnerErrorsStayInside(t *testing.T) {
	for _, err := range []error{errors.New("mesh: piece r1c1: secret")} {
		p := ProblemOf(err)
		assert.Equal(t, http.StatusInternalServerError, p.Status)
		assert.Equal(t, "/problems/internal", p.Type)
		assert.Empty(t, p.Detail)
		assert.Empty(t, p.Errors)
	}
	p := ProblemOf(answer.Parameters{})
	assert.Equal(t, http.StatusInternalServerError, p.Status, "no fault, nothing to tell")
	p = ProblemOf(fault.Fault{Rule: fault.Unstable, Pointer: "/stock/M", Detail: "not positive definite"})
	assert.Equal(t, http.StatusUnprocessableEntity, p.Status)
}

// TestBoundsOfWork: a board that would need more memory than the service gives
// is refused before any sum, with what it may ask.
func TestBoundsOfWork(t *testing.T) {
	h := newHarness(t, Config{Budget: 16 << 20})
	assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/board?exposures=none&refine=1", body: goodBoard}).Code, "a good 8 MB")
	w := h.send(request{path: "/v1/board?exposures=none&refine=2", body: goodBoard})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), `"parameter":"refine"`)
	assert.Contains(t, w.Body.String(), `"allowed":"0 to 1"`)
	w = h.send(request{path: "/v1/board", body: string(data.Demo)})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), `"rule":"too-large"`)
}

// Woods and pairs are drawn where the picture is asked for; what a list has no use for is
// refused, and so is an air that no room has.
func TestWoodsAndPairsAreDrawn(t *testing.T) {
	h := newHarness(t, Config{})
	svg := map[string]string{"Accept": typeSVG}
	for _, q := range []request{{path: "/v1/species?q=maple&from=35&to=65", header: svg}, {path: "/v1/pair", body: goodPair, header: svg}} {
		w := h.good(q)
		assert.Equal(t, typeSVG, w.Header().Get("Content-Type"), q.path)
		assert.Contains(t, w.Body.String(), "<desc>", q.path)
	}
	for path, at := range map[string]string{"/v1/species?from=99": "from", "/v1/species?q=nosuchwood": "q"} {
		w := h.send(request{path: path, header: svg})
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, path)
		assert.Contains(t, w.Body.String(), `"parameter":"`+at+`"`, path)
	}
	w := h.send(request{path: "/v1/species?from=30"})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code, "the list has no airs")
}
