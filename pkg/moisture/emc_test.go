package moisture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
)

// Wood Handbook, FPL-GTR-190, Table 4-2: every cell held here.
func TestEMCReproducesTheTable(t *testing.T) {
	rows, sum, worst := data.Table("emc_table.csv"), 0.0, 0.0
	require.Len(t, rows, 209)
	for _, r := range rows {
		m, err := EMC(r.Number("temp_c"), r.Number("rh_pct"))
		require.NoError(t, err)
		d := math.Abs(m - r.Number("emc_pct"))
		// % MC: half the last printed digit, and the 0.05 °C by which the printed °C round the °F
		assert.LessOrEqual(t, d, 0.06, "%s °C %s %%: %.3f", r.Get("temp_c"), r.Get("rh_pct"), m)
		sum, worst = sum+d, max(worst, d)
	}
	t.Logf("cells %d, mean |difference| %.4f, worst %.4f %% MC", len(rows), sum/209, worst)
	assert.Less(t, sum/209, 0.03) // % MC; rounding to 0.1 alone has a mean of 0.025
}

func TestEMCPublishedPoints(t *testing.T) {
	m, err := EMC(20, 50)
	require.NoError(t, err)
	assert.InDelta(t, 9.271141, m, 1e-6)                   // % MC; printed to six decimals in the manual of a heritage-climate package
	for _, c := range []struct{ rh, table, rule float64 }{ // Table 4-2 at 70 °F; Wengert's rule of thumb
		{30, 6.2, 6}, {50, 9.2, 9}, {65, 12.0, 12}, {80, 16.0, 16},
	} {
		m, err := EMC(21.1, c.rh)
		require.NoError(t, err)
		assert.InDelta(t, c.table, m, 0.06) // % MC; half the last printed digit
		assert.InDelta(t, c.rule, m, 0.3)   // % MC; a rule of thumb in whole per cent
	}
}

// The Fahrenheit coefficients printed beside the Celsius ones are an independent statement of the same law.
func TestEMCAgreesWithFahrenheitSet(t *testing.T) {
	for c := -1.0; c <= 54; c += 5 {
		for rh := 5.0; rh <= 95; rh += 5 {
			f := c*1.8 + 32
			w, k := 330+0.452*f+0.00415*f*f, 0.791+0.000463*f-0.000000844*f*f
			k1, k2 := 6.34+0.000775*f-0.0000935*f*f, 1.09+0.0284*f-0.0000904*f*f
			kh := k * rh / 100
			a, b := k1*kh, k1*k2*kh*kh
			want := 1800 / w * (kh/(1-kh) + (a+2*b)/(1+a+b))
			assert.InDelta(t, want, equilibrium(c, rh), 0.02, "%g °C %g %%", c, rh) // % MC; the sets are rounded separately
		}
	}
}

func TestHumidityInvertsEMC(t *testing.T) {
	for temp := -1.1; temp <= 98.9; temp += 12.5 {
		last := -1.0
		for rh := 0.0; rh <= 98; rh += 0.7 {
			m, err := EMC(temp, rh)
			require.NoError(t, err)
			require.Greater(t, m, last, "the curve must rise") // else the inverse is not one
			last = m
			back, err := Humidity(temp, m)
			require.NoError(t, err)
			assert.InDelta(t, rh, back, 1e-8, "%g °C", temp) // % RH; search tolerance 1e-10 and round-off of a steep curve
		}
	}
}

func TestEMCRefuses(t *testing.T) {
	for _, c := range []Room{{104, 20}, {-1, 20}, {50, 120}, {50, -5}, {math.NaN(), 20}, {50, math.Inf(1)}} {
		_, err := c.EMC()
		var l fault.List
		require.ErrorAs(t, err, &l)
		require.Len(t, l, 1)
		assert.Equal(t, fault.OutOfRange, l[0].Rule)
		assert.NotEmpty(t, l[0].Allowed)
	}
	_, err := EMC(math.NaN(), 200)
	assert.Len(t, err, 2) // one fault a number
	for _, c := range [][2]float64{{20, 40}, {20, -1}, {200, 8}, {20, math.NaN()}} {
		_, err := Humidity(c[0], c[1])
		assert.Error(t, err)
	}
}
