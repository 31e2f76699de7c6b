package api

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/plan"
)

const planBoard = `{"tanrad": 1, "name": "Two slices", "units": "in", "thickness": "1 1/2", "stock": {"M": {"species": "sugar-maple", "ring_angle": 20}, "W": {"species": "black-walnut", "ring_angle": 70}},
	"field": {"slices": {"strips": [["M", 1.5], ["W", 1]], "height": 1.5, "count": 2, "turn": "over"}}, "finish": "mineral-oil", "exposures": [{"name": "sink-soak"}]}`

// A plan keeps to the contract in every form, and takes what the shop says.
func TestPlanKeepsToTheContract(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/board/plan?shop=40@18&arrival=11&arrival=M%3D9&price=M%3D12&kerf=1/8&clamp=2&defects=0.1", body: planBoard})
	require.Equal(t, http.StatusOK, w.Code, "%s", short(w))
	var p plan.Plan
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
	assert.InDelta(t, 3.175, p.CutList.Kerf, 1e-9)
	assert.Equal(t, []float64{9, 11}, []float64{p.Stock.Woods[0].Arrival, p.Stock.Woods[1].Arrival})
	assert.InEpsilon(t, 12*p.CutList.Woods[0].BuyFeet, *p.CutList.Woods[0].Cost, 1e-8)
	assert.Equal(t, 18.0, p.Shop.Temperature)

	text := h.good(request{path: "/v1/board/plan?month=2&workshop=unheated-workshop", body: planBoard, header: map[string]string{"Accept": "text/plain"}})
	require.Equal(t, http.StatusOK, text.Code, "%s", short(text))
	assert.Contains(t, text.Header().Get("Content-Type"), "text/plain")
	assert.Contains(t, text.Body.String(), "Cut list")
}

// What is wrong with the shop stands at its parameter, one entry each.
func TestPlanFaultsNameTheirParameter(t *testing.T) {
	h := newHarness(t, Config{})
	for query, parameter := range map[string]string{"price=Q%3D3": "price", "price=3": "price", "kerf=0": "kerf", "trim=-1": "trim", "shop=120@20": "shop",
		"arrival=M%3D99": "arrival", "month=13": "month", "month=0": "month", "kerf=20.1%20mm": "kerf", "workshop=nowhere&month=1": "workshop", "kerf=thin": "kerf", "clamp=0": "clamp"} {
		w := h.send(request{path: "/v1/board/plan?" + query, body: planBoard})
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s: %s", query, short(w))
		var p Problem
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
		if assert.Len(t, p.Errors, 1, "%s: %s", query, short(w)) {
			assert.Equal(t, parameter, p.Errors[0].Parameter, query)
		}
	}
}

// A plan prints, and its care card alone; neither runs or loads anything.
func TestPlanPrints(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	html := map[string]string{"Accept": "text/html"}
	page := h.good(request{path: "/v1/board/plan", body: planBoard, header: html})
	require.Equal(t, http.StatusOK, page.Code, "%s", short(page))
	assert.Contains(t, page.Header().Get("Content-Type"), "text/html")
	assert.Contains(t, page.Header().Get("Content-Security-Policy"), "default-src 'none'")
	assert.Contains(t, page.Body.String(), "Cut list")
	card := h.good(request{path: "/v1/board/plan?part=card", body: planBoard, header: html})
	require.Equal(t, http.StatusOK, card.Code, "%s", short(card))
	assert.NotContains(t, card.Body.String(), "Cut list")
	assert.Contains(t, card.Body.String(), "If it cups")
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board/plan?part=card", body: planBoard}).Code)
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board/plan?part=lid", body: planBoard, header: html}).Code)
}
