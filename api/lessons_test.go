package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/answer"
)

// TestLessonsHaveHandouts: every lesson of the list is there as JSON and as a page
// that names its right choice and loads nothing from elsewhere; a lesson nobody
// gives is 404 with the nearest name.
func TestLessonsHaveHandouts(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	h := newHarness(t, Config{})
	var list answer.Lessons
	require.NoError(t, json.Unmarshal(h.good(request{path: "/v1/lessons"}).Body.Bytes(), &list))
	require.GreaterOrEqual(t, len(list.Lessons), 10)
	front := h.good(request{path: "/lessons"}).Body.String()
	for _, l := range list.Lessons {
		var one struct {
			Choices []string
			Right   int
			Board   json.RawMessage
		}
		w := h.good(request{path: "/v1/lessons/" + l.Name})
		require.Equal(t, http.StatusOK, w.Code, short(w))
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &one))
		page := h.good(request{path: "/lessons/" + l.Name}).Body.String()
		assert.Contains(t, page, "<strong>"+one.Choices[one.Right]+".</strong>", l.Name)
		page = strings.ReplaceAll(page, `xmlns="http://www.w3.org/1998/Math/MathML"`, "") // a name, which loads nothing
		assert.NotContains(t, page, "http://", l.Name)
		assert.Contains(t, front, `href="/lessons/`+l.Name+`"`)
		if one.Board != nil {
			w := h.good(request{path: "/v1/board?exposures=none&cracks=false&chance=false", body: string(one.Board)})
			assert.Equal(t, http.StatusOK, w.Code, "%s: its board can be checked: %s", l.Name, short(w))
		}
	}
	w := h.good(request{path: "/v1/lessons/log-split"})
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Contains(t, w.Body.String(), "log-splits")
}

// TestWordsAreSketched: ten to fifteen words, each with a whole drawing.
func TestWordsAreSketched(t *testing.T) {
	h := newHarness(t, Config{})
	var list answer.Words
	require.NoError(t, json.Unmarshal(h.good(request{path: "/v1/words"}).Body.Bytes(), &list))
	assert.GreaterOrEqual(t, len(list.Words), 10)
	assert.LessOrEqual(t, len(list.Words), 15)
	page := h.good(request{path: "/words"}).Body.String()
	for _, w := range list.Words {
		wholeXML(t, w.Sketch)
		assert.True(t, strings.Contains(w.Sketch, "<path"), w.Word)
		assert.Contains(t, page, w.Sketch)
	}
}
