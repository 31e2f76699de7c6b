package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const fourBlocks = `{"tanrad": 1, "units": "mm", "thickness": 38,
	"stock": {"M": {"species": "sugar-maple", "ring_angle": 35, "moisture": 7.5}, "W": {"species": "black-walnut", "ring_angle": -60, "moisture": 8}},
	"field": {"grid": {"block": [40, 40], "rows": ["MW", "WM"]}},
	"borders": [{"stock": "W", "grain": "along", "width": 15, "sides": ["left", "right"]}]}`

func TestImprove(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/board/improve?seed=3&rounds=2&deadline=60&home=mediterranean", body: fourBlocks})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	var got struct {
		Before, After struct{ Utilisation float64 }
		Board         json.RawMessage
		End           string
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &got))
	assert.Equal(t, "done", got.End)
	assert.LessOrEqual(t, got.After.Utilisation, got.Before.Utilisation)
	assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/board?exposures=none", body: string(got.Board)}).Code)
	for _, lock := range []string{"lock=none", "lock=species", "lock=species&lock=pattern", "turns=1"} {
		assert.Equal(t, http.StatusOK, h.good(request{path: "/v1/board/improve?exposures=none&rounds=1&" + lock, body: fourBlocks}).Code, lock)
	}
	assert.Equal(t, w.Body.String(), h.good(request{path: "/v1/board/improve?seed=3&rounds=2&home=mediterranean", body: fourBlocks}).Body.String(), "equal seeds, equal answers")
}

// What a shop may do otherwise with a build is told step by step, within the contract.
func TestImproveABuild(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	const damp = `{"tanrad": 1, "units": "mm", "thickness": 30, "glue_up": {"humidity": 40, "temperature": 20},
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 11}, "W": {"species": "sugar-maple", "ring_angle": 0, "moisture": 7.7}},
		"field": {"build": {"kerf": 3, "sticks": {"m": {"stock": "M", "section": [60, 60]}}, "panels": {"A": {"sticks": ["m", "m"], "length": 900, "thickness": 60}}, "slices": ["A", "A"]}},
		"borders": [{"stock": "W", "grain": "along", "width": 20, "sides": ["top", "bottom"]}]}`
	w := h.good(request{path: "/v1/board/improve?rounds=1&exposures=none", body: damp})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	var got struct {
		Steps   []struct{ Kind, Place, How, Before string }
		Turns   []any
		Changed int
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &got))
	require.NotEmpty(t, got.Steps)
	assert.Equal(t, "wait", got.Steps[len(got.Steps)-1].Kind)
	assert.Equal(t, got.Changed, len(got.Steps)+len(got.Turns))
	glued := h.good(request{path: "/v1/board/improve?rounds=1&exposures=none&glued=b1", body: damp})
	require.Equal(t, http.StatusOK, glued.Code, short(glued))
	assert.NotContains(t, glued.Body.String(), `"steps"`, "it is too late")
	assert.Contains(t, glued.Body.String(), `"glued":["b1"]`)
}

func TestWindowsAndAdvice(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/board/windows?exposures=none&home=mediterranean", body: fourBlocks})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	assert.Contains(t, w.Body.String(), `"border"`)
	w = h.good(request{path: "/v1/board/advice?exposures=none&seed=2", body: fourBlocks})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	assert.Contains(t, w.Body.String(), `"no-border"`)
	var told struct {
		Now   struct{ Verdict string }
		Moves []struct {
			Name string
			Cost struct{ Swaps []struct{ From, To string } }
		}
		Cautions []struct{ Topic string }
	}
	w = h.good(request{path: "/v1/board/advice?exposures=none&have=Black%20cherry&have=teak", body: fourBlocks})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &told))
	assert.NotEmpty(t, told.Now.Verdict)
	assert.NotEmpty(t, told.Cautions)
	for _, m := range told.Moves {
		for _, s := range m.Cost.Swaps {
			assert.Contains(t, []string{"black-cherry", "teak"}, s.To, "only woods of the shop")
		}
	}
	w = h.good(request{path: "/v1/board/advice", body: twoBlocks})
	assert.Equal(t, http.StatusOK, w.Code, short(w))
}

func TestImproveRefusesNonsense(t *testing.T) {
	h := newHarness(t, Config{})
	for path, parameters := range map[string]string{
		"/v1/board/improve?lock=specis&turns=-1":         "turns lock",
		"/v1/board/improve?lock=none&lock=species":       "lock",
		"/v1/board/improve?rounds=2000&deadline=-3":      "rounds deadline",
		"/v1/board/improve?home=nowhere&exposures=none":  "home",
		"/v1/board/improve?home=nowhere":                 "home",
		"/v1/board/windows?home=nowhere":                 "home",
		"/v1/board/windows?refine=9":                     "refine",
		"/v1/board/advice?seed=-1":                       "seed",
		"/v1/board/advice?have=teak&have=mapel":          "have",
		"/v1/board/advice?glued=panel.A":                 "glued",
		"/v1/board/improve?glued=fields":                 "glued",
		"/v1/board/improve?have=mapel&lock=pattern":      "have",
		"/v1/board/advice?exposures=none&exposures=wash": "exposures exposures",
	} {
		var named []string
		for _, e := range h.refused(request{path: path, body: goodBoard}).Errors {
			named = append(named, e.Parameter)
		}
		assert.Equal(t, parameters, strings.Join(named, " "), path)
	}
	for _, path := range []string{"improve", "windows", "advice"} {
		w := h.send(request{path: "/v1/board/" + path, body: strings.Replace(goodBoard, "sugar-maple", "sugar-mapel", 1)})
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
		assert.Contains(t, w.Body.String(), "#/stock/M/species")
		w = h.send(request{path: "/v1/board/" + path, body: goodBoard, header: map[string]string{"Accept": "image/png"}})
		assert.Equal(t, http.StatusNotAcceptable, w.Code)
	}
}
