package main

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api"
)

func TestDiagnose(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	r := run(t, twoByTwo, "diagnose", "-", "--crack", "joint=r1c2|r1c1", "--season", "winter", "--face", "top", "--age", "90")
	require.Equal(t, 0, r.code, r.err)
	assert.Contains(t, r.out, "Most likely: ")
	assert.Contains(t, r.out, "     + ")
	assert.Contains(t, r.out, "r1c1|r1c2", "as the board spells it")

	s, err := api.New(api.Config{})
	require.NoError(t, err)
	q := httptest.NewRequest(http.MethodPost, "/v1/board/diagnose", strings.NewReader(
		`{"board": `+twoByTwo+`, "observation": {"joint": "r1c2|r1c1", "season": "winter", "face": "top", "age": 90}}`))
	q.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, q)
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	assert.Equal(t, w.Body.String(), run(t, twoByTwo, "diagnose", "-", "--json", "--crack", "r1c2|r1c1", "--season", "winter", "--face", "top", "--age", "90").out)

	for args, words := range map[string]string{
		"--crack corner":             "--crack",
		"--crack joint=r1c1|r7c7":    `"--crack"`,
		"--crack piece=r7c7":         `"--crack"`,
		"--season wintre":            "nearest: winter",
		"--event washing":            `"--event"`,
		"--age NaN":                  `"--age"`,
		"--home nowhere":             `"--home"`,
		"--where glue":               `"--where"`,
		"--season winter --month 1":  "one of month and season",
		"--depth through --face top": `"--face"`,
		"more":                       "takes [FILE]",
	} {
		r := run(t, twoByTwo, append([]string{"diagnose", "-"}, strings.Fields(args)...)...)
		assert.Equal(t, 2, r.code, "%s", args)
		assert.Contains(t, r.err, words, "%s", args)
	}
}
