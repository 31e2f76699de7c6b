package layout_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

// A rest before a border makes a glue-up of its own; borders without one go with what
// stands before them. Every joint belongs to the glue-up at which both its pieces are
// there, and the file comes back as it was.
func TestARestMakesAStage(t *testing.T) {
	const rest = `"rest": {"days": 12, "air": {"humidity": 35, "temperature": 18}, "moisture": {"W": 7.5}}`
	src := file(field2x1, `"borders": [
		{"stock": "W", "grain": "up", "width": 5, "sides": ["left", "right"]},
		{"stock": "M", "grain": "along", "width": 10, "sides": ["top", "bottom"], `+rest+`},
		{"stock": "M", "grain": "up", "width": 2, "sides": ["right"]}]`)
	f, faults := layout.Parse([]byte(src))
	require.Empty(t, faults)
	again, faults := layout.Parse(f.JSON())
	require.Empty(t, faults)
	assert.Equal(t, f, again)
	assert.Equal(t, f.JSON(), again.JSON())
	c := f.Clone()
	c.Borders[1].Rest.Moisture["W"], c.Borders[1].Rest.Air.Humidity = 3, 4
	assert.Equal(t, again, f, "a clone shares nothing")

	b := read(t, src)
	require.Len(t, b.Stages, 2)
	first, second := b.Stages[0], b.Stages[1]
	assert.Equal(t, []string{"the field and border 1", "border 2 and border 3"}, []string{first.Name, second.Name})
	assert.Equal(t, []string{"/field", "/borders/1"}, []string{first.Pointer, second.Pointer})
	assert.Equal(t, 12.0, second.Rest.Days)
	ids := func(s layout.Stage) (out []string) {
		for _, j := range s.Joints {
			out = append(out, b.Joints[j].ID)
		}
		return out
	}
	assert.ElementsMatch(t, []string{"r1c1|r1c2", "r1c1|b1.left", "r1c2|b1.right"}, ids(first))
	assert.Len(t, first.Joints, 3)
	assert.Len(t, second.Joints, len(b.Joints)-3)
	assert.Len(t, second.Pieces, len(b.Pieces))
	assert.Empty(t, read(t, file(field2x1)).Stages, "in one go")
}

// A part keeps its pieces, the joints between them, and every vertex on its sides.
func TestPartOfABoard(t *testing.T) {
	b := read(t, file(field2x1, `"borders": [{"stock": "W", "grain": "up", "width": 6, "blocks": 3, "sides": ["top"]}]`))
	p := b.Part(func(i int) bool { return b.Pieces[i].Border < 0 })
	assert.Len(t, p.Pieces, 2)
	require.Len(t, p.Joints, 1)
	assert.Equal(t, b.Joints[p.JointOf[0]].ID, p.Joints[0].ID)
	free := 0
	for e := range p.Partition.Edges {
		ed := &p.Partition.Edges[e]
		was := &b.Partition.Edges[p.EdgeOf[e]]
		assert.Equal(t, b.Partition.Vertices[was.V0], p.Partition.Vertices[ed.V0])
		if ed.Joint < 0 {
			free++
		}
	}
	assert.Equal(t, 8, free, "two blocks have six free sides, and the border's two inner corners cut the upper ones")
	for i, ring := range p.Partition.Rings {
		for k, r := range ring {
			assert.Equal(t, b.Partition.Rings[p.Of[i]][k].Edge, p.EdgeOf[r.Edge])
		}
	}
}

// The rests of a build stand in their order, each of what is glued by then: sticks of
// several woods, panels, slices with their ends open. Each joint goes to the first stage
// that glues its like.
func TestRestsOfABuild(t *testing.T) {
	src := build(`"A": {"sticks": ["sail", "w"], "length": 200, "thickness": 30}`, `"A", "A"`)
	with := func(rests string) *layout.Board {
		return read(t, strings.Replace(src, `"kerf": 3`, `"kerf": 3, `+rests, 1))
	}
	tell := func(b *layout.Board) (out []string) {
		for _, s := range b.Stages {
			out = append(out, fmt.Sprintf("%s after %g days, %d pieces, %d joints, %g mm", s.ID, s.Rest.Days, len(s.Pieces), len(s.Joints), s.Side))
		}
		return out
	}
	b := with(`"stick_rest": {"days": 3}, "rest": {"days": 9}, "slice_rest": {"days": 2}`)
	parts := len(b.Build.Sticks[0].Parts)
	require.Greater(t, parts, 1)
	section := min(b.Build.Sticks[0].Width, b.Build.Sticks[0].Height)
	inSticks, inPanels := 0, 0
	for j := range b.Joints {
		switch b.GlueUps[b.Joints[j].GlueUp].Kind {
		case layout.StageStick:
			inSticks++
		case layout.StagePanel:
			inPanels++
		}
	}
	between := len(b.Joints) - inSticks - inPanels
	assert.Equal(t, []string{
		fmt.Sprintf("sticks after 0 days, %d pieces, %d joints, %g mm", 2*parts, inSticks, section),
		fmt.Sprintf("panels after 3 days, %d pieces, %d joints, 30 mm", len(b.Pieces), inPanels),
		fmt.Sprintf("slices after 9 days, %d pieces, 0 joints, 0 mm", len(b.Pieces)),
		fmt.Sprintf("field after 2 days, %d pieces, %d joints, 0 mm", len(b.Pieces), between),
	}, tell(b))
	assert.Equal(t, []string{
		fmt.Sprintf("panels after 0 days, %d pieces, %d joints, 30 mm", len(b.Pieces), inSticks+inPanels),
		fmt.Sprintf("slices after 0 days, %d pieces, 0 joints, 0 mm", len(b.Pieces)),
		fmt.Sprintf("field after 2 days, %d pieces, %d joints, 0 mm", len(b.Pieces), between),
	}, tell(with(`"slice_rest": {"days": 2}`)), "sliced at once, and then left")
	f := parsed(t, strings.Replace(src, `"kerf": 3`, `"kerf": 3, "stick_rest": {"days": 3}, "slice_rest": {"moisture": {"W": 8}}`, 1))
	assert.Equal(t, f.JSON(), parsed(t, string(f.JSON())).JSON())
	c := f.Clone()
	c.Field.Build.SliceRest.Moisture["W"] = 1
	assert.Equal(t, 8.0, f.Field.Build.SliceRest.Moisture["W"])

	plain := build(`"A": {"sticks": ["m", "w"], "length": 200, "thickness": 30}`, `"A", "A"`)
	_, err := layout.Read([]byte(strings.Replace(plain, `"kerf": 3`, `"kerf": 3, "stick_rest": {"days": 3}`, 1)))
	var l fault.List
	require.ErrorAs(t, err, &l)
	require.Len(t, l, 1)
	assert.Equal(t, "/field/build/stick_rest", l[0].Pointer)
}
