package window

import (
	"context"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/wood"
)

var update = flag.Bool("update", false, "work the size table out anew (a few minutes)")

const sizeFile = "../../testdata/tables/framed.csv"

// Energy of two strips glued side by side that want to be of unlike length
// (Timoshenko, Journal of the Optical Society of America 11, 1925): with P the
// force that each puts on the other, P·(1/A1 + 1/A2 + d²/(D1+D2)) = Δε and
// U = ½·P·Δε for a unit of length. The ends drop out in the difference of two lengths.
func TestStoredEnergyOfTwoStrips(t *testing.T) {
	const h1, h2, thick, change = 18.0, 12.0, 25.0, 2.5
	energy := func(length float64) float64 {
		src := fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":%g,
			"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"field":{"pieces":[{"stock":"A","outline":[[0,0],[%[2]g,0],[%[2]g,%[3]g],[0,%[3]g]]},
			                   {"stock":"B","outline":[[0,%[3]g],[%[2]g,%[3]g],[%[2]g,%[4]g],[0,%[4]g]]}]}}`, thick, length, h1, h1+h2)
		m, err := influence.Prepare(context.Background(), board(t, read(t, []byte(src))), uniform().Solving())
		require.NoError(t, err)
		u, err := storedEnergy(m.Plate, change)
		require.NoError(t, err)
		return u
	}
	s, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	e, err := s.Elastic(8)
	require.NoError(t, err)
	_, r, tan := s.Swelling(8, 9)
	mismatch := change * (tan - r)
	a1, a2 := e.ER*h1*thick, e.ET*h2*thick
	d1, d2 := a1*h1*h1/12, a2*h2*h2/12
	d := (h1 + h2) / 2
	want := mismatch * mismatch / (1/a1 + 1/a2 + d*d/(d1+d2)) / 2 * 200
	assert.InEpsilon(t, want, energy(600)-energy(400), 0.005, "N·mm over 200 mm")
}

func TestFreePieceStoresNothing(t *testing.T) {
	m, err := influence.Prepare(context.Background(), board(t, read(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"white-oak","ring_angle":37,"moisture":8}},
		"field":{"grid":{"block":[50,40],"rows":["AA"]}}}`))), uniform().Solving())
	require.NoError(t, err)
	u, err := storedEnergy(m.Plate, 4)
	require.NoError(t, err)
	assert.InDelta(t, 0, u, 1e-6, "N·mm; the free part alone is of the order of thousands")
}

// What a long-grain frame does: small boards find less energy than large ones,
// though the worst stress is nearly the same; energy goes with the square.
func TestSizeMattersToEnergyMoreThanToStress(t *testing.T) {
	rows, err := SizeTable(context.Background(), MapleWalnut, []float64{80, 320}, []float64{20}, []float64{-1, -2})
	require.NoError(t, err)
	require.Len(t, rows, 4)
	small, large := rows[0], rows[2]
	assert.Greater(t, large.Frame/small.Frame, 1.5*large.Utilisation/small.Utilisation)
	assert.InEpsilon(t, 4, rows[1].Frame/rows[0].Frame, 1e-9)
	assert.InEpsilon(t, 4, rows[1].Side/rows[0].Side, 1e-9)
	for _, r := range rows {
		assert.Positive(t, r.Side)
		assert.Positive(t, r.Frame)
	}
	_, err = SizeTable(context.Background(), MapleWalnut, []float64{90}, []float64{20}, []float64{1})
	assert.ErrorContains(t, err, "whole number of blocks")
}

// The table of the documentation must be what the code gives today.
func TestSizeTableIsUpToDate(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	fields := []float64{80, 160, 240, 320, 480, 640}
	borders := []float64{10, 20, 30, 40, 60}
	changes := []float64{-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6}
	if *update {
		rows, err := SizeTable(context.Background(), MapleWalnut, fields, borders, changes)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(sizeFile, []byte(tableText(rows)), 0o644))
	}
	src, err := os.ReadFile(sizeFile)
	require.NoError(t, err)
	r := csv.NewReader(strings.NewReader(string(src)))
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, 1+len(fields)*len(borders)*len(changes))
	rows, err := SizeTable(context.Background(), MapleWalnut, fields[:1], borders[:2], changes)
	require.NoError(t, err)
	for _, row := range rows {
		want := line(&row)
		var got []string
		for _, l := range lines {
			if l[0] == want[0] && l[1] == want[1] && l[2] == want[2] {
				got = l
			}
		}
		require.NotNil(t, got, "%v", want[:3])
		for i := 3; i < len(want); i++ {
			a, err := strconv.ParseFloat(want[i], 64)
			require.NoError(t, err)
			b, err := strconv.ParseFloat(got[i], 64)
			require.NoError(t, err)
			assert.InEpsilon(t, a, b, 0.02, "%v column %d; three digits are told: go test ./pkg/window -run SizeTable -update", want[:3], i)
		}
	}
}

func tableText(rows []SizeRow) string {
	var b strings.Builder
	f := MapleWalnut
	fmt.Fprintf(&b, "# %s and %s checker on end, blocks %g mm, %g mm thick, in a glued frame of long-grain %s; all pieces glued at %g %% MC, sudden change.\n",
		f.Woods[0], f.Woods[1], f.Block, f.Thickness, f.Frame, f.Moisture)
	b.WriteString("# Over a season multiply the utilisation by 0.5 and the energies by 0.25. Energies are over the fracture energy: from 1 a crack can run.\n")
	b.WriteString("field_mm,border_mm,change_pct,utilisation,v,energy_one_side,energy_frame\n")
	for i := range rows {
		b.WriteString(strings.Join(line(&rows[i]), ",") + "\n")
	}
	return b.String()
}

func line(r *SizeRow) []string {
	out := []string{fmt.Sprint(r.Field), fmt.Sprint(r.Border), fmt.Sprint(r.Change)}
	for _, v := range []float64{r.Utilisation, r.V, r.Side, r.Frame} {
		out = append(out, fmt.Sprintf("%.3g", v))
	}
	return out
}
