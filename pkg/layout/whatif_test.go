package layout_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
)

func ptr[T any](v T) *T { return &v }

func TestWithPieceLeavesTheBoardAlone(t *testing.T) {
	b := read(t, file(field2x1))
	c, err := b.WithPiece(1, layout.Edit{RingAngle: ptr(-20.0), Species: ptr("Hard Maple"), Moisture: ptr(6.0)})
	require.NoError(t, err)
	assert.Equal(t, "black-walnut", b.Pieces[1].Species)
	assert.Equal(t, 70.0, b.Pieces[1].RingAngle)
	assert.Equal(t, "sugar-maple", c.Pieces[1].Species)
	assert.Equal(t, -20.0, c.Pieces[1].RingAngle)
	assert.Equal(t, 6.0, c.Pieces[1].Moisture)
	assert.Equal(t, b.Pieces[0], c.Pieces[0])
	assert.Equal(t, b.Joints, c.Joints)
}

func TestWithStockChangesEveryPieceOfIt(t *testing.T) {
	b := read(t, file(`"field": {"grid": {"block": [30, 20], "rows": ["MW", "WM"]}}`))
	c, err := b.WithStock("W", layout.Edit{RingAngle: ptr(5.0)})
	require.NoError(t, err)
	assert.Equal(t, 5.0, c.Stock["W"].RingAngle)
	assert.Equal(t, 70.0, b.Stock["W"].RingAngle)
	for _, p := range c.Pieces {
		assert.Equal(t, map[string]float64{"M": 10, "W": 5}[p.Stock], p.RingAngle)
	}
	_, err = b.WithStock("X", layout.Edit{})
	assert.Error(t, err)
}

func TestEditsThatCannotBe(t *testing.T) {
	b := read(t, file(field2x1))
	_, err := b.WithPiece(0, layout.Edit{RingAngle: ptr(200.0), Species: ptr("suger maple"), Moisture: ptr(-1.0)})
	var list fault.List
	require.ErrorAs(t, err, &list)
	var at []string
	for _, f := range list {
		at = append(at, f.Pointer)
	}
	assert.Equal(t, []string{"/ring_angle", "/moisture", "/species"}, at)
	_, err = b.WithPiece(9, layout.Edit{})
	assert.Error(t, err)
}

// alike compares two boards piece by piece, whatever their ids.
func alike(t *testing.T, want, got *layout.Board) {
	t.Helper()
	require.Len(t, got.Pieces, len(want.Pieces))
	require.Len(t, got.Joints, len(want.Joints))
	assert.Equal(t, len(want.Partition.Edges), len(got.Partition.Edges))
	for i, p := range want.Pieces {
		q := got.Pieces[i]
		assert.Equal(t, p.Species, q.Species)
		assert.InDelta(t, p.RingAngle, q.RingAngle, 1e-6, p.ID)
		assert.Equal(t, p.Grain, q.Grain)
		assert.Equal(t, p.Moisture, q.Moisture)
		near(t, p.Outline, q.Outline)
		require.Equal(t, p.Pith == nil, q.Pith == nil, p.ID)
		if p.Pith != nil {
			assert.InDelta(t, p.Pith[0], q.Pith[0], rounding)
			assert.InDelta(t, p.Pith[1], q.Pith[1], rounding)
		}
	}
	assert.Equal(t, want.GlueUp, got.GlueUp)
	assert.Equal(t, want.Home, got.Home)
	assert.Equal(t, want.Exposures, got.Exposures)
	assert.Equal(t, []string{want.Glue, want.Finish, want.Name, want.Units}, []string{got.Glue, got.Finish, got.Name, got.Units})
	assert.InDelta(t, want.Thickness, got.Thickness, rounding)
}

func TestWrittenBoardsReadBackTheSame(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(boards, "ok", "*.json"))
	require.NoError(t, err)
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			src, err := os.ReadFile(f)
			require.NoError(t, err)
			b := read(t, string(src))
			out, err := layout.Write(b)
			require.NoError(t, err)
			again := read(t, string(out))
			alike(t, b, again)
			assert.Empty(t, again.Assumed, "everything is written out")

			last := len(b.Pieces) - 1
			c, err := b.WithPiece(last, layout.Edit{RingAngle: ptr(-77.5), Moisture: ptr(9.25)})
			require.NoError(t, err)
			c, err = c.WithPiece(0, layout.Edit{Species: ptr("black-cherry")})
			require.NoError(t, err)
			out, err = layout.Write(c)
			require.NoError(t, err)
			alike(t, c, read(t, string(out)))
		})
	}
}

func TestAWrittenGridStaysAGrid(t *testing.T) {
	b := read(t, file(field2x1, `"borders": [{"stock": "W", "grain": "along", "width": 6, "corner": "mitre"}]`))
	b, err := b.WithPiece(1, layout.Edit{RingAngle: ptr(3.0)})
	require.NoError(t, err)
	out, err := layout.Write(b)
	require.NoError(t, err)
	assert.Contains(t, string(out), `"grid"`)
	assert.Contains(t, string(out), `"mitre"`)
	again := read(t, string(out))
	alike(t, b, again)
	assert.Equal(t, "W-2", piece(t, again, "r1c2").Stock, "the turned block has a stock of its own")
	assert.Equal(t, "W", piece(t, again, "b1.left").Stock)
}
