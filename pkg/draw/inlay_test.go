package draw

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// A strip 6 mm wide between blocks keeps at least a third of its width in sight,
// however badly its joints fail; joints of wide blocks keep their full lines.
func TestLinesLeaveAnInlayInSight(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","ring_angle":0,"moisture":8}},
"field":{"grid":{"columns":[60,6,60,60,60,60,60],"row_heights":[60,60],"rows":["MWMWMWM","MWMWMWM"]}}}`)
	m := Marks{Worst: -1}
	for i := range b.Joints {
		m.Joints = append(m.Joints, JointMark{Joint: i, Utilisation: 2})
	}
	svg, err := Layout(b, m)
	require.NoError(t, err)
	k := fit(b.Width, b.Height, 0).k // px a mm
	var wide float64
	for _, g := range regexp.MustCompile(`(?s)<g stroke="#[0-9a-f]{6}" stroke-width="([0-9.]+)">(.*?)</g>`).FindAllStringSubmatch(string(svg), -1) {
		w, err := strconv.ParseFloat(g[1], 64)
		require.NoError(t, err)
		wide = max(wide, w)
		if regexp.MustCompile(`data-joint="r1c1\|r1c2"`).MatchString(g[2]) {
			assert.Less(t, w, 0.67*6*k, "px on a strip of %g px", 6*k)
		}
	}
	assert.Greater(t, wide, 4.0, "px of a failing joint between wide blocks")
}

// Moisture that moves by a hundredth of a percent is drawn on a scale of one
// percent at least: it must look as quiet as it is.
func TestMoistureKeepsALeastSpan(t *testing.T) {
	svg, err := History([]Series{{Panel: "moisture", Unit: "% MC", Name: "maple", Days: []float64{0, 1, 2}, Values: []float64{8, 8.01, 8}}}, HistoryOptions{Title: "quiet"})
	require.NoError(t, err)
	d := regexp.MustCompile(`d="M([^"]*)" data-series="maple"`).FindStringSubmatch(string(svg))
	require.Len(t, d, 2)
	lo, hi := 1e9, -1e9
	for _, p := range regexp.MustCompile(`[ML]?[-0-9.]+ ([-0-9.]+)`).FindAllStringSubmatch(d[1], -1) {
		y, err := strconv.ParseFloat(p[1], 64)
		require.NoError(t, err)
		lo, hi = min(lo, y), max(hi, y)
	}
	assert.Less(t, hi-lo, 6.0, "px of a panel of a hundred and more")
}
