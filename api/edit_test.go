package api

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// edited sends an edit and gives the name of the board that came out, and the answer.
func (h *harness) edited(name, patch string) (after string, code int, body string) {
	w := h.send(request{method: http.MethodPatch, path: strings.Replace(quickly, "/board", "/board/"+name, 1), body: patch, kind: typePatch})
	return w.Header().Get(boardHeader), w.Code, w.Body.String()
}

// An edit answers as the whole changed board does, and can be edited again.
func TestEditsAnswerAsTheWholeBoardDoes(t *testing.T) {
	h := newHarness(t, Config{})
	first := h.good(request{path: quickly, body: goodBoard})
	require.Equal(t, http.StatusOK, first.Code)
	name := first.Header().Get(boardHeader)
	require.NotEmpty(t, name)
	var tree map[string]any
	require.NoError(t, json.Unmarshal([]byte(goodBoard), &tree))
	for _, patch := range []string{`{"home":"maritime-temperate"}`, `{"thickness":33,"home":null}`} {
		var change map[string]any
		require.NoError(t, json.Unmarshal([]byte(patch), &change))
		for k, v := range change {
			if tree[k] = v; v == nil {
				delete(tree, k)
			}
		}
		whole, err := json.Marshal(tree)
		require.NoError(t, err)
		after, code, body := h.edited(name, patch)
		require.Equal(t, http.StatusOK, code, body)
		fresh := newHarness(t, Config{}) // which has seen nothing
		assert.Equal(t, fresh.send(request{path: quickly, body: string(whole)}).Body.String(), body, patch)
		assert.NotEqual(t, name, after)
		name = after
	}
	_, code, _ := h.edited(name, `{"thickness":-3}`)
	assert.Equal(t, http.StatusUnprocessableEntity, code)
}

// A board that is not kept, and patches that are none, are told apart.
func TestEditsThatCannotBe(t *testing.T) {
	h := newHarness(t, Config{})
	_, code, body := h.edited(strings.Repeat("x", 24), `{"thickness":33}`)
	assert.Equal(t, http.StatusNotFound, code)
	assert.Contains(t, body, "/problems/board-gone")
	name := h.good(request{path: quickly, body: goodBoard}).Header().Get(boardHeader)
	for patch, status := range map[string]int{`[]`: 422, `3`: 422, `{"thickness":33,"thickness":34}`: 422, `{"thickness":`: 400, ``: 400,
		`{"field":null}`: 422, `{"stock":{"A":{"species":"no-such-wood"}}}`: 422, `{"thicknes":3}`: 422} {
		_, code, body := h.edited(name, patch)
		assert.Equal(t, status, code, "%s: %s", patch, body)
	}
	faulty := h.send(request{path: quickly, body: `{"tanrad":1}`})
	assert.Empty(t, faulty.Header().Get(boardHeader), "nothing to edit")
}

// What a moving finger asks for, the stress of the joints alone, is worked out without
// the wood between them and is what the whole answer tells.
func TestStressOfJointsAlone(t *testing.T) {
	h := newHarness(t, Config{})
	stresses := func(more string) (out []float64) {
		var a struct {
			Joints []struct {
				Stress float64 `json:"stress"`
			} `json:"joints"`
		}
		require.NoError(t, json.Unmarshal(h.good(request{path: "/v1/board?exposures=none&cracks=false&chance=false&by=stress" + more, body: goodBoard}).Body.Bytes(), &a))
		for _, j := range a.Joints {
			out = append(out, j.Stress)
		}
		return out
	}
	all := stresses("")
	require.NotEmpty(t, all)
	assert.Positive(t, slices.Max(all))
	assert.Equal(t, all, stresses("&fields=joints.stress"))
}
