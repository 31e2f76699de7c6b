package api

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
)

// TestShapeSaysWhatTheReportSays: asked for the only state that stresses the board
// most, joint by joint the shape tells the figures of the report.
func TestShapeSaysWhatTheReportSays(t *testing.T) {
	h := newHarness(t, Config{})
	var r check.Report
	w := h.good(request{path: "/v1/board?exposures=none&air=room=85@21", body: goodBoard})
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &r))
	var s check.Shape
	w = h.good(request{path: "/v1/board/shape?state=room&exposures=none&air=room=85@21", body: goodBoard})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &s))
	require.Len(t, s.Joints, len(r.Joints))
	same := 0
	for i, j := range r.Joints {
		assert.Equal(t, j.ID, s.Joints[i].ID)
		if j.State == "room" {
			same++
			assert.InEpsilon(t, j.Utilisation, s.Joints[i].Utilisation, 5.1e-5, "half a unit of the fifth digit, which a report tells last")
			assert.Equal(t, j.Verdict, s.Joints[i].Verdict)
		}
	}
	assert.Positive(t, same, "no joint is worst in the room; the test sees nothing")
}

// TestShapeRefusesWhatTheCheckDoesNotHave: the parameter is told, with near names.
func TestShapeRefusesWhatTheCheckDoesNotHave(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.good(request{path: "/v1/board/shape?state=driest-mont&exposures=none", body: goodBoard})
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var p Problem
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
	require.Len(t, p.Errors, 1)
	assert.Equal(t, "state", p.Errors[0].Parameter)
	assert.Contains(t, p.Errors[0].Nearest, "driest-month")
}

// TestOldAddressLeadsToTheBench: what was written down still arrives.
func TestOldAddressLeadsToTheBench(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.good(request{path: "/try"})
	assert.Equal(t, http.StatusPermanentRedirect, w.Code)
	assert.Equal(t, "/", w.Header().Get("Location"))
}
