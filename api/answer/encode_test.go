package answer

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
)

// plain is what encoding/json would write.
func plain(t *testing.T, v any) string {
	t.Helper()
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	require.NoError(t, enc.Encode(v))
	return b.String()
}

// Numbers of every size: nine digits are told, half a unit of the ninth off at
// most, and telling them again changes nothing.
func TestNumbersAreToldWithNineDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	n := 50_000
	if testing.Short() {
		n = 2_000
	}
	for i := range n {
		v := (r.Float64() - 0.5) * math.Pow(10, float64(i%40-20))
		got, err := Encode(v)
		require.NoError(t, err)
		short, err := strconv.ParseFloat(string(bytes.TrimSpace(got)), 64)
		require.NoError(t, err)
		require.InEpsilon(t, v, short, 5.1e-9, "%v", v)
		require.Equal(t, strconv.FormatFloat(v, 'e', 8, 64), strconv.FormatFloat(short, 'e', 8, 64))
		require.Equal(t, plain(t, short), string(got), "written as encoding/json writes it")
	}
	for v, want := range map[float64]string{0.1 + 0.2: "0.3", 1e21: "1e+21", 1.23456789012e-7: "1.23456789e-7", 123456789012: "123456789012", 0.5: "0.5", math.Copysign(0, -1): "0", -7.0000000001: "-7"} {
		got, err := Encode(v)
		require.NoError(t, err)
		assert.Equal(t, want+"\n", string(got))
	}
}

// Texts, whole numbers and everything else stay as encoding/json writes them.
func TestOnlyFractionsAreRounded(t *testing.T) {
	v := map[string]any{
		"seed": uint64(math.MaxUint64), "odd": "quote \" and \\ and <b> & é – 0.123456789012345 \u2028 \xff \n", "0.1234567890123": []any{true, nil, -12, 3.25, "\\"},
		"": map[string]any{"a": []int{}, "b": "\\\""}, "raw": json.RawMessage(`{"x":1,"y":"1.00000000001"}`),
	}
	got, err := Encode(v)
	require.NoError(t, err)
	assert.Equal(t, plain(t, v), string(got))
}

func TestNaNIsAnError(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		_, err := Encode(map[string]float64{"x": v})
		assert.Error(t, err)
	}
}

// A report is told with the digits it deserves, and what holds it as well.
func TestReportsAreToldWithFewerDigits(t *testing.T) {
	got, err := Encode(&Report{Report: &check.Report{Width: 1234.5678, Utilisation: 0.123456789}})
	require.NoError(t, err)
	assert.Contains(t, string(got), `"width":1234.6,`)
	assert.Contains(t, string(got), `"utilisation":0.12346,`)
}

// The keys that are wanted come out as they stood, whatever is in the texts beside them.
func TestFieldsOfAnAnswer(t *testing.T) {
	text, err := Encode(map[string]any{
		"a": map[string]any{"b": "}] \" \\ {,", "c": []any{}, "d": nil},
		"l": []any{map[string]any{"x": 1.5, "y": []int{1, 2}, "z": "[{"}, map[string]any{"y": true}},
		"n": -2.5e-7, "t": map[string]float64{"M.\"1": 3},
	})
	require.NoError(t, err)
	for want, fields := range map[string]Fields{
		`{"a":{"b":"}] \" \\ {,","d":null}}`: {"a.d", "a.b"},
		`{"a":{"c":[]},"n":-2.5e-7}`:         {"n", "a.c"},
		`{"l":[{"y":[1,2]},{"y":true}]}`:     {"l.y"},
		`{"l":[{"x":1.5,"z":"[{"},{}]}`:      {"l.z", "l.x"},
		`{"t":{"M.\"1":3}}`:                  {"t"},
		`{}`:                                 {"q"},
		strings.TrimSpace(string(text)):      {"a", "l", "n", "t"},
	} {
		got, err := fields.Of(text)
		require.NoError(t, err)
		assert.Equal(t, want+"\n", string(got), fields)
		assert.True(t, json.Valid(got))
	}
	_, err = Fields{"a"}.Of([]byte(`{"a":1,`))
	assert.Error(t, err, "cut off")
}
