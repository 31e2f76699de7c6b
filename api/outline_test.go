package api

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/layout"
)

// A drawing becomes a board file that can be checked; what is wrong is told at its
// place: in the query, or by the shape.
func TestADrawingBecomesABoard(t *testing.T) {
	h := newHarness(t, Config{})
	const drawing = `<svg xmlns="http://www.w3.org/2000/svg" width="8cm" height="4cm" viewBox="0 0 80 40">` +
		`<rect id="walnut-1" width="40" height="40" data-ring-angle="20"/><path fill="#D8C7A8" d="M40 0h40v40h-40z"/></svg>`
	q := "?" + url.Values{"units": {"in"}, "thickness": {"1 1/2"}, "stock": {"#d8c7a8=sugar-maple"}, "name": {"Pair"}}.Encode()
	w := h.good(request{path: "/v1/board/outline" + q, kind: typeSVG, body: drawing})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	b, err := layout.Read(w.Body.Bytes())
	require.NoError(t, err)
	assert.Equal(t, []any{"Pair", "in"}, []any{b.Name, b.Units})
	assert.InDelta(t, 38.1, b.Thickness, 1e-9)
	assert.InDelta(t, 80, b.Width, 1e-3)
	assert.Len(t, b.Joints, 1)
	assert.Equal(t, 20.0, b.Pieces[0].RingAngle)

	for _, c := range []struct {
		query, kind, body string
		status            int
		pointer           string
	}{
		{"", typeSVG, drawing, http.StatusUnprocessableEntity, "units"},
		{"?units=mm&thickness=thick", typeSVG, drawing, http.StatusUnprocessableEntity, "thickness"},
		{"?units=mm&thickness=38&stock=walnut", typeSVG, drawing, http.StatusUnprocessableEntity, "stock"},
		{"?units=mm&thickness=38", typeSVG, drawing, http.StatusUnprocessableEntity, "#/shapes/1"},
		{"?units=mm&thickness=38", typeSVG, "<svg><rect></svg>", http.StatusBadRequest, "in line 1"},
		{"?units=mm&thickness=38", typeJSON, drawing, http.StatusUnsupportedMediaType, ""},
	} {
		w := h.send(request{path: "/v1/board/outline" + c.query, kind: c.kind, body: c.body})
		assert.Equal(t, c.status, w.Code, "%s: %s", c.query, short(w))
		if c.pointer != "" {
			assert.Contains(t, w.Body.String(), c.pointer)
		}
	}
}
