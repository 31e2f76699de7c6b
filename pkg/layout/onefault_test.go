package layout_test

import (
	"encoding/json"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// changed is a board file with the value at a pointer replaced; none is left out.
func changed(t *testing.T, src []byte, pointer string, to any) []byte {
	t.Helper()
	var root any
	require.NoError(t, json.Unmarshal(src, &root))
	keys := strings.Split(pointer, "/")[1:]
	at := root
	for i, key := range keys {
		last := i == len(keys)-1
		switch o := at.(type) {
		case map[string]any:
			if at = o[key]; last {
				if o[key] = to; to == "leave out" {
					delete(o, key)
				}
			}
		case []any:
			n, err := strconv.Atoi(key)
			require.NoError(t, err)
			if at = o[n]; last {
				o[n] = to
			}
		}
	}
	out, err := json.Marshal(root)
	require.NoError(t, err)
	return out
}

// One mistake in a build is one fault, at its place: what hangs on it is not told again.
func TestOneMistakeIsOneFault(t *testing.T) {
	src, err := os.ReadFile("../../testdata/boards/ok/build-sails.json")
	require.NoError(t, err)
	for _, c := range []struct {
		at    string
		to    any
		place string // "" where it was changed
	}{
		{"/thickness", 1e9, ""}, {"/field", -1, ""}, {"/field", "leave out", ""}, {"/field/build", "x", ""}, {"/field/build", "leave out", "/field"},
		{"/field/build/kerf", 1e300, ""}, {"/field/build/kerf", 0, ""}, {"/field/build/sawn", 1e9, ""}, {"/field/build/panels", true, ""}, {"/field/build/panels", map[string]any{}, "/field/build/slices/0"},
		{"/field/build/panels/B/length", 1e9, ""}, {"/field/build/panels/B/thickness", -3, ""}, {"/field/build/panels/E/thickness", 1e9, ""}, {"/field/build/panels/E/thickness", 1e-9, ""},
		{"/field/build/panels/B/sticks/1/stick", 7, ""}, {"/field/build/panels/B/sticks/1/turn", "sideways", ""}, {"/field/build/sticks/edge", "leave out", "/field/build/panels/E/sticks/0"},
		{"/field/build/sticks/line/section", "x", ""}, {"/field/build/sticks/line/section/1", -1, ""}, {"/field/build/sticks/line/layers", 4, ""}, {"/field/build/sticks/sail/cut", "across", ""},
		{"/field/build/sticks/sail/section/0", 1e9, ""}, {"/field/build/sticks/walnut/section/0", 1e-9, ""}, {"/field/build/sticks/edge/section/1", 1, "/field/build/panels/E/sticks/0"}, {"/field/build/sticks/edge/section/0", 0.001, ""},
		{"/field/build/sticks/edge/ring_angle", "", ""}, {"/field/build/slices/1/panel", 3, ""}, {"/field/build/slices/1/panel", "Q", "/field/build/slices/1"}, {"/field/build/slices/2/stick", -1, ""}, {"/field/build/repeat", 1e9, ""},
		{"/borders/0/panel", "", ""}, {"/borders/0/panel", -1, ""}, {"/borders/0/rest/days", "soon", ""}, {"/borders/0/rest/days", -2, ""},
	} {
		_, err := layout.Read(changed(t, src, c.at, c.to))
		l := fault.Of(err)
		if assert.Len(t, l, 1, "%s to %v: %v", c.at, c.to, l) {
			if c.place == "" {
				c.place = c.at
			}
			assert.Equal(t, c.place, l[0].Pointer, "%s to %v", c.at, c.to)
		}
	}
}
