package check

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/cholmod"
	"github.com/tanrad/tanrad/pkg/layout"
)

// BenchmarkSession gives the steps of a drawing of 192 blocks, all different and all
// joints painted, beside a new check in the same run: of-new is the processor time of a
// step over that of a new check, which is what counts; a step asks what the drawing
// never was before. By joints is what the bench asks while a finger moves, by stress
// takes the wood between them along, by cracks is the verdict.
func BenchmarkSession(b *testing.B) {
	file, board, err := layout.Open(boardgen.B192(0, 1), layout.Limits{})
	require.NoError(b, err)
	quick := Conditions{NoHistories: true, NoCracks: true, NoChance: true}
	byStress, byJoints := quick, quick
	byStress.ByStress = true
	byJoints.ByStress, byJoints.Joints = true, true
	for _, way := range []struct {
		name string
		c    Conditions
	}{{"joints", byJoints}, {"stress", byStress}, {"cracks", quick}} {
		b.Run(way.name, func(b *testing.B) { benchmarkSteps(b, file, board, way.c) })
	}
}

func benchmarkSteps(b *testing.B, file *layout.File, board *layout.Board, c Conditions) {
	whole := 0.0
	step := func(name string, do func(i int) error) {
		b.Run(name, func(b *testing.B) {
			began, n := cholmod.ProcessorTime(), 0
			for ; b.Loop(); n++ {
				require.NoError(b, do(n))
			}
			each := (cholmod.ProcessorTime() - began) / float64(n)
			if whole == 0 {
				whole = each
			}
			b.ReportMetric(each/1e6, "cpu-ms/op")
			b.ReportMetric(each/whole, "of-new")
		})
	}
	step("new-check", func(int) error {
		_, err := Board(b.Context(), board, c)
		return err
	})
	c.Cache = NewCache(1 << 30)
	s := NewSession(1 << 30)
	_, err := s.Board(b.Context(), board, c)
	require.NoError(b, err)
	asked := 0
	step("moisture", func(int) error {
		d := c
		asked++
		d.Moistures = []float64{6 + float64(asked%1000)/200}
		_, err := s.Board(b.Context(), board, d)
		return err
	})
	homes := []string{"maritime-temperate", "continental-heated", "mountain-dry", "arid-cooled"}
	step("home", func(int) error {
		other := *board
		asked++
		other.Home.Name = homes[asked%len(homes)]
		_, err := s.Board(b.Context(), &other, c)
		return err
	})
	step("finish", func(int) error {
		other := *board
		asked++
		other.Finish = []string{"none", "mineral-oil-wax"}[asked%2]
		_, err := s.Board(b.Context(), &other, c)
		return err
	})
	step("one-block-turned", func(int) error {
		asked++
		file.Change(board.Pieces[97].ID, layout.Override{Ring: layout.RingAt(float64(asked%170) + 0.5)})
		turned, faults := file.Board()
		if err := faults.Err(); err != nil {
			return err
		}
		_, err := s.Board(b.Context(), turned, c)
		return err
	})
}
