package formula_test

import (
	"encoding/xml"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/formula"
)

// Operators bind as in print.
func TestValueFollowsThePrintedOrder(t *testing.T) {
	given := map[string]float64{"a": 2, "b_1": 3, "σ": 5}
	for text, want := range map[string]float64{
		"x = a + b_1·σ":                17,
		"x = a − b_1 − σ":              -6,
		"x = −a + σ":                   3,
		"x = −a·σ":                     -10,
		"x = 12 / a / b_1":             2,
		"x = a·b_1/σ·10":               12,
		"x = a·b_1^2":                  18,
		"x = (a + b_1)^(σ − 3)":        25,
		"x = √(a^2 + b_1^2)":           math.Sqrt(13),
		"x = max(a, b_1, min(σ, 4))":   4,
		"x = abs(a − σ)":               3,
		"x = sin(30)^2 + cos(30)^2":    1,
		"x = ln(exp(σ))":               5,
		"x = Φ(0) + Φ(1.959963984540)": 1.475,
	} {
		f, err := formula.Parse(text)
		require.NoError(t, err, text)
		got, err := f.Value(given)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
}

// What is no formula is refused, and a missing symbol is named.
func TestWhatIsNoFormulaIsRefused(t *testing.T) {
	for _, text := range []string{"", "x", "x =", "= 1", "x = a b", "x = (a", "x = a)", "x = √a", "x = √(a, b)", "x = a + ", "x = a ? b", "x = 1.2.3", "x = " + strings.Repeat("(", 5000)} {
		_, err := formula.Parse(text)
		assert.Error(t, err, text)
	}
	_, err := formula.Must("x = a + b").Value(map[string]float64{"a": 1})
	assert.ErrorContains(t, err, "b is not given")
}

// The MathML is well formed, has the symbols in order, and puts brackets where the
// order of the operators needs them and nowhere else.
func TestMathMLSaysTheSame(t *testing.T) {
	flat := func(text string) string {
		var b strings.Builder
		for d := xml.NewDecoder(strings.NewReader(formula.Must(text).MathML())); ; {
			tok, err := d.Token()
			if err == io.EOF {
				return b.String()
			}
			require.NoError(t, err, text)
			if c, ok := tok.(xml.CharData); ok {
				b.Write(c)
			}
		}
	}
	assert.Equal(t, "x=(a+b)·c", flat("x = (a + b)·c"))
	assert.Equal(t, "x=a+b·c", flat("x = a + (b·c)"))
	assert.Equal(t, "x=(−a)2", flat("x = (−a)^2"))
	assert.Equal(t, "x=a−(b−c)", flat("x = a − (b − c)"))
	assert.Equal(t, "x=(a·b)2", flat("x = (a·b)^2"))
	assert.Contains(t, formula.Must("e_R = a/(b + c)").MathML(), "<msub><mi>e</mi><mi>R</mi></msub><mo>=</mo><mfrac><mi>a</mi><mrow><mi>b</mi><mo>+</mo><mi>c</mi></mrow></mfrac>")
	assert.Contains(t, formula.Must("x = √(a)").MathML(), "<msqrt><mi>a</mi></msqrt>")
}
