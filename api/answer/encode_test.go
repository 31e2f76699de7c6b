package answer

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/wood"
)

// general is what Encode would write without knowing pairs.
func general(t *testing.T, v any) string {
	t.Helper()
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	require.NoError(t, enc.Encode(v))
	return b.String()
}

// TestPairIsWrittenAsTheGeneralEncoderWould: same bytes for every wood, odd
// numbers, odd texts and with a derivation.
func TestPairIsWrittenAsTheGeneralEncoderWould(t *testing.T) {
	all := wood.All()
	quick := 0
	for i, s := range all {
		q := pair.Request{A: pair.Piece{Species: s.ID, RingAngle: 37, Grain: pair.Grain(pair.Grains[i%3])},
			B:    pair.Piece{Species: all[(i*7+2)%len(all)].ID, RingAngle: -float64(i % 90)},
			From: 7.5, To: 7.5 + float64(i%5), Season: i%2 == 0, Derivation: i%10 == 0, Length: float64(i % 3 * 40)}
		ask := AskPair
		if i%4 == 0 {
			ask = pair.Pair // all seventeen digits
		}
		r, err := ask(q)
		require.NoError(t, err)
		got, err := Encode(r)
		require.NoError(t, err)
		require.Equal(t, general(t, r), string(got), s.ID)
		if _, ok := appendPair(nil, r); ok {
			quick++
		}
	}
	assert.Greater(t, quick, len(all)*8/10, "most take the quick way")

	odd := &pair.Result{Headline: "quote \" and \\ and <b> & é – ≥ \u2028 \xff \n", Reasons: []pair.Reason{{Code: "é", Text: "plain é"}},
		Utilisation: 1e-7, Length: 1e21, Mismatch: pair.Mismatch{Along: math.Copysign(0, -1), Normal: -1.5e-9, Shear: 123456789.125, Step: 1e-6},
		Checks: []pair.Check{}, Estimated: []string{}, Assumptions: []string{"a", "b"}}
	for _, headline := range []string{odd.Headline, "plain <b> & é – ≥"} {
		odd.Headline = headline
		got, err := Encode(odd)
		require.NoError(t, err)
		assert.Equal(t, general(t, odd), string(got))
	}
	odd.Reasons = nil
	got, err := Encode(odd)
	require.NoError(t, err)
	assert.Equal(t, general(t, odd), string(got))
}

func TestNaNIsAnError(t *testing.T) {
	_, err := Encode(&pair.Result{Utilisation: math.NaN()})
	assert.Error(t, err)
	_, err = Encode(map[string]float64{"x": math.Inf(1)})
	assert.Error(t, err)
}

func BenchmarkEncodePair(b *testing.B) {
	r, err := AskPair(pair.Request{A: pair.Piece{Species: "sugar-maple", RingAngle: 37}, B: pair.Piece{Species: "black-walnut"}, From: 7.5, To: 10.5})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Encode(r); err != nil {
			b.Fatal(err)
		}
	}
}
