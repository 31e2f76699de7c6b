package check

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// The library's own report is the whole answer: cautions, response times where slow
// pieces show, and lists that are empty, not null.
func TestTheReportIsComplete(t *testing.T) {
	b := boardtest.Text(t, square)
	r := reportOf(t, b, Conditions{Events: []moisture.Event{{Name: "wash-one-face"}, {Name: "damp-spell"}}})
	assert.NotEmpty(t, r.Safety)
	require.Len(t, r.Exposures, 2)
	assert.Empty(t, r.Exposures[0].Responses)
	assert.Len(t, r.Exposures[1].Responses, 2, "of the longest, by kind of piece")
	calm := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[40,40],"rows":["A"]}}}`)
	text, err := json.Marshal(reportOf(t, calm, Conditions{NoHistories: true}))
	require.NoError(t, err)
	assert.NotContains(t, string(text), ":null")
	assert.NotContains(t, string(text), "NaN")
}

// One air has one word, whoever asks for it: the driest month of the home, and the
// same air as a state of its own.
func TestOneAirHasOneWord(t *testing.T) {
	for _, name := range []string{"checker-random", "border-mitre", "own-months"} {
		b := boardtest.Named(t, name)
		home, err := Conditions{}.ClimateOf(b)
		require.NoError(t, err)
		driest, dampest, _, _ := home.Extremes()
		r := reportOf(t, b, Conditions{NoHistories: true, NoChance: true, NoCracks: true, Air: []moisture.NamedRoom{
			{Name: "dry", Room: home.Months[driest]}, {Name: "damp", Room: home.Months[dampest]}}})
		require.Len(t, r.States, 4)
		for i := range 2 {
			month, air := r.States[i], r.States[i+2]
			assert.Equal(t, month.Utilisation, air.Utilisation, "%s: %s", name, month.Name)
			assert.Equal(t, month.Elastic, air.Elastic)
			assert.Equal(t, month.Verdict, air.Verdict)
		}
	}
}

// What comes suddenly says so.
func TestSuddenStatesSaySo(t *testing.T) {
	r := reportOf(t, boardtest.Text(t, square), Conditions{NoHistories: true, NoChance: true, NoCracks: true, Moistures: []float64{12}, Shifts: []float64{-3}})
	for _, s := range r.States[2:] {
		assert.True(t, strings.Contains(s.Text, "suddenly"), s.Text)
		assert.Equal(t, s.Elastic, s.Utilisation)
	}
}

// What a board file hardly means is asked about in the report, with the place in
// the file; the answer is to the file as it stands.
func TestTheReportAsksAboutSlips(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":1.5,"stock":{"T":{"species":"teak","ring_angle":0,"moisture":0.08}},
		"field":{"grid":{"block":[40,40],"rows":["TT"]}}}`)
	r := reportOf(t, b, Conditions{NoHistories: true, NoCracks: true})
	require.Len(t, r.Notices, 2)
	assert.Equal(t, "38.1 mm", r.Notices[0].Likely)
	assert.Equal(t, "/stock/T/moisture", r.Notices[1].Pointer)
	src, err := json.Marshal(r)
	require.NoError(t, err)
	assert.Contains(t, string(src), `"notices":[{"pointer":"/thickness"`)
	assert.InDelta(t, 0.08, r.Pieces[0].Moisture, 0, "% MC, as given")
}
