package api

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBenchIsSmall: all that the bench loads before its first question goes through
// a thin line, packed below 300 kB.
func TestBenchIsSmall(t *testing.T) {
	h := newHarness(t, Config{})
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	paths := []string{"/", "/page/demo.json", "/v1/species?limit=500", "/v1/climates", "/v1/exposures"}
	list, err := pageFiles.ReadDir("page")
	require.NoError(t, err)
	for _, e := range list {
		if kind := pageKinds[path.Ext(e.Name())]; kind != typeHTML { // whatever is there is loaded
			paths = append(paths, "/page/"+e.Name())
		}
	}
	require.Contains(t, paths, "/page/showing.js")
	for _, p := range paths {
		_, err := z.Write(h.good(request{path: p}).Body.Bytes())
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	t.Logf("%d bytes", b.Len())
	assert.Less(t, b.Len(), 300<<10, "bytes")
}

// jointsOf is what a drawing paints.
type jointsOf struct {
	Joints []struct {
		ID          string
		Utilisation float64
	}
	Model struct{ Joints int }
}

// An edit of a board of 192 blocks with all its joints and pieces painted goes through a
// thin line unpacked.
func TestQuickAnswersAreSmall(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	w := h.good(request{path: quickly + "&fields=painted&digits=3", body: turned(12, 16)(1)})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	t.Logf("%d bytes", w.Body.Len())
	assert.Less(t, w.Body.Len(), 30<<10, "bytes")
	var all jointsOf
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &all))
	require.Len(t, all.Joints, 12*15+11*16)
}

// Figures come with the digits asked for, rounded from the same ones, and with no others.
func TestDigits(t *testing.T) {
	h := newHarness(t, Config{})
	ask := func(more string) (j jointsOf) {
		w := h.good(request{path: quickly + "&fields=painted" + more, body: goodBoard})
		require.Equal(t, http.StatusOK, w.Code, short(w))
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &j))
		return j
	}
	five, three := ask(""), ask("&digits=3")
	assert.Equal(t, five, ask("&digits=5"))
	require.NotEmpty(t, five.Joints)
	fewer := 0
	for i := range five.Joints {
		assert.InDelta(t, five.Joints[i].Utilisation, three.Joints[i].Utilisation, 0.0006*five.Joints[i].Utilisation)
		if five.Joints[i].Utilisation != three.Joints[i].Utilisation {
			fewer++
		}
	}
	assert.Positive(t, fewer)
	for _, bad := range []string{"0", "2", "6", "x"} {
		assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board?digits=" + bad, body: goodBoard}).Code, bad)
	}
}

// Joints of a low utilisation are left out where that is asked for, no others.
func TestOnlyJointsAbove(t *testing.T) {
	h := newHarness(t, Config{})
	body := turned(2, 3)(1)
	ask := func(more string) (j jointsOf) {
		w := h.good(request{path: quickly + more, body: body})
		require.Equal(t, http.StatusOK, w.Code, short(w))
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &j))
		return j
	}
	all := ask("")
	require.Len(t, all.Joints, 7)
	least := 0.0 // hardly below the worst
	for _, j := range all.Joints {
		least = max(least, 0.99*j.Utilisation)
	}
	some := ask(fmt.Sprintf("&joints_above=%v", least))
	assert.Equal(t, 7, some.Model.Joints)
	want := slices.DeleteFunc(all.Joints, func(j struct {
		ID          string
		Utilisation float64
	}) bool {
		return j.Utilisation < least
	})
	require.NotEmpty(t, want)
	require.Less(t, len(want), 7)
	assert.Equal(t, want, some.Joints)
	assert.Equal(t, http.StatusUnprocessableEntity, h.send(request{path: "/v1/board?joints_above=-1", body: body}).Code)
}
