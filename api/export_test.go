package api

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestExport asks for each format and load, and for what cannot be.
func TestExport(t *testing.T) {
	h := newHarness(t, Config{})
	for path, words := range map[string]string{
		"/v1/board/export": "** Load: in balance with",
		"/v1/board/export?format=inp&state=dampest-month": "the dampest month",
		"/v1/board/export?change=-2.5":                    "** Load: every piece -2.5 % MC",
		"/v1/board/export?home=mediterranean&refine=1":    "*EXPANSION, TYPE=ORTHO",
		"/v1/board/export?format=mtx":                     "%%MatrixMarket matrix coordinate real symmetric",
		"/v1/board/export?format=mtx&system=bending":      "%%MatrixMarket matrix coordinate real symmetric",
	} {
		w := h.good(request{path: path, body: goodBoard})
		assert.Equal(t, http.StatusOK, w.Code, "%s: %s", path, short(w))
		assert.Contains(t, w.Body.String(), words, path)
		assert.Contains(t, w.Header().Get("Content-Disposition"), "board.")
	}
	for path, parameters := range map[string]string{
		"/v1/board/export?format=step":                          "format",
		"/v1/board/export?format=mtx&change=3&state=x":          "state change state change",
		"/v1/board/export?state=driest-month&change=2":          "change",
		"/v1/board/export?system=bending":                       "system",
		"/v1/board/export?home=nowhere":                         "home",
		"/v1/board/export?change=40":                            "change",
		"/v1/board/export?change=lots&refine=3":                 "change",
		"/v1/board/export?series=3":                             "series",
		"/v1/board/export?format=inp&refine=3&state=driest-day": "state refine",
	} {
		var named []string
		for _, e := range h.refused(request{path: path, body: goodBoard}).Errors {
			named = append(named, e.Parameter)
		}
		assert.Equal(t, parameters, strings.Join(named, " "), path)
	}
	w := h.send(request{path: "/v1/board/export", body: strings.Replace(goodBoard, "sugar-maple", "sugar-mapel", 1)})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "#/stock/M/species")
	w = h.send(request{path: "/v1/board/export", body: goodBoard, header: map[string]string{"Accept": "image/png"}})
	assert.Equal(t, http.StatusNotAcceptable, w.Code)
}
