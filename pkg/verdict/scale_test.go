package verdict

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What scatters more has its words earlier, each where its own chance says; per cents stay
// on the side of their word, and a scale comes back from JSON.
func TestWordsOfAScale(t *testing.T) {
	for _, ratio := range []float64{0.6, 0.75, 1, 1.3} { // σ of a measured crack over its own
		s := Scattering(ratio)
		for k, from := range limits {
			at := s.At(from)
			assert.InDelta(t, from, s.AsCrack(at), 1e-12)
			assert.Equal(t, Words[k], s.Of(at*(1-1e-9)))
			assert.Equal(t, Words[k+1], s.Of(at*(1+1e-9)))
			if ratio < 1 && from < 1 {
				assert.Less(t, at, from)
			}
		}
		for u := 0.0; u < 1.5; u += 0.0007 {
			p := s.Percent(u)
			assert.Equal(t, s.Of(u), s.Of(float64(p)/100), "u %g", u)
			assert.InDelta(t, 100*u, p, 1, "u %g", u)
		}
		text, err := json.Marshal(s)
		require.NoError(t, err)
		var back Scale
		require.NoError(t, json.Unmarshal(text, &back))
		assert.InDelta(t, s.AsCrack(0.4), back.AsCrack(0.4), 1e-9)
	}
	text, err := json.Marshal(Scale{})
	require.NoError(t, err)
	assert.JSONEq(t, `{"tight":0.51,"doubtful":0.71,"fails":1}`, string(text))
	assert.Error(t, json.Unmarshal([]byte(`[]`), &Scale{}))
}
