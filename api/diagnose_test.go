package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/diagnose"
)

func seenOn(board, observation string) string {
	return `{"board": ` + board + `, "observation": ` + observation + `}`
}

func TestDiagnose(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	ask := func(observation string) string {
		w := h.good(request{path: "/v1/board/diagnose", body: seenOn(twoBlocks, observation)})
		require.Equal(t, http.StatusOK, w.Code, "%s: %s", observation, short(w))
		return w.Body.String()
	}
	first := ask(`{"joint": "r1c1|r1c2", "where": "joint", "season": "winter", "face": "top", "age": 90}`)
	assert.Equal(t, first, ask(`{"joint": "r1c2|r1c1", "where": "joint", "season": "winter", "face": "top", "age": 90}`), "told from the other side")
	var d diagnose.Diagnosis
	require.NoError(t, json.Unmarshal([]byte(first), &d))
	assert.NotEmpty(t, d.Hypotheses)
	ask(`{}`)
	ask(`{"piece": "r1c2", "where": "wood", "depth": "through", "month": 7, "event": "sink-soak"}`)
}

// TestDiagnoseTellsFaultsWithTheirPlace: one entry each, in the body's own terms.
func TestDiagnoseTellsFaultsWithTheirPlace(t *testing.T) {
	h := newHarness(t, Config{})
	wrongBoard := strings.Replace(goodBoard, "sugar-maple", "sugar-mapel", 1)
	for body, pointers := range map[string]string{
		seenOn(goodBoard, `{"joint": "r1c1|r9c9"}`):                                    "#/observation/joint",
		seenOn(goodBoard, `{"piece": "r1c3", "event": "wash"}`):                        "#/observation/event #/observation/piece",
		seenOn(goodBoard, `{"season": "fall", "month": 13, "age": -1, "crack": 1}`):    "#/observation/season #/observation/age #/observation/crack #/observation/month",
		seenOn(goodBoard, `{"season": "winter", "month": 1}`):                          "#/observation/month",
		seenOn(goodBoard, `{"depth": "through", "face": "top"}`):                       "#/observation/face",
		seenOn(goodBoard, `{"joint": "r1c1|r1c2", "piece": "r1c1"}`):                   "#/observation/piece",
		seenOn(wrongBoard, `{"where": "glue"}`):                                        "#/observation/where #/board/stock/M/species",
		seenOn(strings.Replace(goodBoard, `"units"`, `"tanrad": 1, "units"`, 1), "{}"): "#/board/tanrad",
		seenOn("7", "[]"):       "#/board #/observation",
		`{"board": {}}`:         "#/observation #/board/tanrad #/board/units #/board/thickness #/board/stock #/board/field",
		`{"observation": null}`: "#/board #/observation",
		`{"board": {}, "Board": 1, "observation": {}}`: "#/Board #/board/tanrad #/board/units #/board/thickness #/board/stock #/board/field",
	} {
		w := h.send(request{path: "/v1/board/diagnose", body: body})
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, body)
		var p Problem
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
		var told []string
		for _, e := range p.Errors {
			require.NotNil(t, e.Pointer, body)
			told = append(told, *e.Pointer)
		}
		assert.Equal(t, pointers, strings.Join(told, " "), body)
	}
	assert.Equal(t, http.StatusBadRequest, h.send(request{path: "/v1/board/diagnose", body: "{"}).Code)
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board/diagnose?home=x", body: seenOn(goodBoard, "{}")}).Code)
}
