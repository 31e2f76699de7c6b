package check

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// However many workers share a check, its answer is the same, byte for byte: in a frame,
// whose cracks turn, while splits are laid and mishaps followed beside them.
func TestWorkersChangeNoByte(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"finish":"mineral-oil","stock":{"A":{"species":"sugar-maple","ring_angle":20,"moisture":8},"B":{"species":"black-walnut","ring_angle":80,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["AB"]}},"borders":[{"stock":"B","grain":"along","width":20,"sides":["top","bottom","left","right"]}]}`)
	var want string
	for _, workers := range []int{1, 3} {
		r, err := Board(t.Context(), b, Conditions{Workers: workers})
		require.NoError(t, err)
		text, err := json.Marshal(r)
		require.NoError(t, err)
		if want == "" {
			want = string(text)
			assert.Contains(t, want, "turns_at", "a crack turns")
		}
		assert.Equal(t, want, string(text), "%d workers", workers)
	}
}
