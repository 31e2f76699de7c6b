package influence

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/mesh"
)

// Boards share a mesh as long as no outline moves, and only the last few are kept.
func TestTurnedPiecesShareAMesh(t *testing.T) {
	const drawn = `{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"sugar-maple","ring_angle":20,"moisture":8},"B":{"species":"black-walnut","ring_angle":70,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}}}`
	c := NewCache(64 << 20)
	meshOf := func(from, to string, o Options) *mesh.Mesh {
		o.Cache = c
		m, err := Prepare(t.Context(), boardtest.Text(t, strings.Replace(drawn, from, to, 1)), o)
		require.NoError(t, err)
		return m.Mesh
	}
	first := meshOf("", "", Options{})
	assert.Same(t, first, meshOf(`"ring_angle":20`, `"ring_angle":-50`, Options{}), "turned")
	assert.Same(t, first, meshOf("sugar-maple", "white-oak", Options{}), "another wood")
	assert.Same(t, first, meshOf(`"thickness":30`, `"thickness":31`, Options{}), "thicker")
	assert.NotSame(t, first, meshOf("[40,40]", "[40,41]", Options{}), "larger blocks")
	assert.NotSame(t, first, meshOf(`"ring_angle":20`, `"pith":[20,0]`, Options{}), "a pith, round which it is finer")
	assert.NotSame(t, first, meshOf("", "", Options{Refine: 1}), "finer")
	assert.Same(t, first, meshOf("", "", Options{}), "the first is still kept")
	c.outlines.most = 3 * geometryBytes(c.outlines.list[0].g) / 2
	meshOf("[40,40]", "[40,42]", Options{})
	assert.Len(t, c.outlines.list, 1, "room for one")
	second := meshOf("", "", Options{})
	assert.NotSame(t, first, second)
	c.outlines.most = 1
	meshOf("[40,40]", "[40,42]", Options{})
	assert.Same(t, second, meshOf("", "", Options{}), "what does not fit pushes nothing out")
}
