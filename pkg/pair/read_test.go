package pair_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/pair"
)

const good = `{"a": {"species": "sugar-maple", "ring_angle": 0}, "b": {"species": "black-walnut", "ring_angle": 90},
	"moisture": {"mc": {"from": 7.5, "to": 10.5}}}`

func TestReadTakesAllForms(t *testing.T) {
	q, err := pair.Read([]byte(good))
	require.NoError(t, err)
	assert.Equal(t, 7.5, q.From)
	assert.Equal(t, 10.5, q.To)
	assert.Equal(t, 0.0, q.A.RingAngle, "0 is an angle, not a missing one")

	q, err = pair.Read([]byte(strings.Replace(good, `{"mc": {"from": 7.5, "to": 10.5}}`, `{"change": -2}`, 1)))
	require.NoError(t, err)
	assert.Equal(t, pair.DefaultMoisture, q.From)
	assert.Equal(t, pair.DefaultMoisture-2, q.To)

	q, err = pair.Read([]byte(strings.Replace(good, `{"mc": {"from": 7.5, "to": 10.5}}`,
		`{"air": {"from": {"humidity": 40, "temperature": 20}, "to": {"humidity": 65, "temperature": 20}}}`, 1)))
	require.NoError(t, err)
	want, err := moisture.EMC(20, 65)
	require.NoError(t, err)
	assert.Equal(t, want, ask(t, q).A.To, "% MC")
}

// TestReadIsStrict: what a lenient decoder lets pass is a fault with its place.
func TestReadIsStrict(t *testing.T) {
	swap := func(old, new string) string { return strings.Replace(good, old, new, 1) }
	for name, c := range map[string]struct {
		body string
		rule fault.Rule
		at   string
	}{
		"unknown key":      {swap(`"ring_angle": 0`, `"ring_angle": 0, "colour": 1`), fault.UnknownKey, "/a/colour"},
		"other letters":    {swap(`"ring_angle": 0`, `"ring_angle": 0, "GRAIN": "up"`), fault.UnknownKey, "/a/GRAIN"},
		"twice":            {swap(`"ring_angle": 0`, `"ring_angle": 0, "ring_angle": 3`), fault.RepeatedKey, "/a/ring_angle"},
		"text after":       {good + " {}", fault.Syntax, ""},
		"null":             {swap(`"ring_angle": 0`, `"ring_angle": null`), fault.WrongType, "/a/ring_angle"},
		"text for number":  {swap(`"ring_angle": 0`, `"ring_angle": "0"`), fault.WrongType, "/a/ring_angle"},
		"missing":          {swap(`, "ring_angle": 90`, ``), fault.MissingKey, "/b/ring_angle"},
		"two alternatives": {swap(`{"mc"`, `{"change": 3, "mc"`), fault.NotAllowed, "/moisture/mc"},
		"no alternative":   {swap(`{"mc": {"from": 7.5, "to": 10.5}}`, `{}`), fault.MissingKey, "/moisture"},
		"bad word":         {swap(`"ring_angle": 0`, `"ring_angle": 0, "grain": "upp"`), fault.NotOneOf, "/a/grain"},
		"not an object":    {`[1]`, fault.WrongType, ""},
		"too deep":         {strings.Repeat("[", 100) + strings.Repeat("]", 100), fault.TooLarge, ""},
		"too wet":          {swap(`"to": 10.5`, `"to": 31`), fault.OutOfRange, "/moisture/mc/to"},
		"too many digits":  {swap(`"to": 10.5`, `"to": 1e999`), fault.OutOfRange, "/moisture/mc/to"},
	} {
		_, err := pair.Read([]byte(c.body))
		var faults fault.List
		require.True(t, errors.As(err, &faults), name)
		require.Len(t, faults, 1, "%s: %v", name, faults)
		assert.Equal(t, c.rule, faults[0].Rule, name)
		assert.Equal(t, c.at, faults[0].Pointer, name)
	}
}

// FuzzRead: whatever comes in, there is an answer or a list of faults, never a
// panic and never a number that is not finite.
func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte(`{"a":{"species":"teak","ring_angle":-180,"grain":"across","width":0.5,"moisture":0},"b":{"species":"balsa","ring_angle":1e-300,"grain":"along"},"moisture":{"change":22},"length":0.5,"thickness":500,"duration":"season","derivation":true}`))
	f.Add([]byte(`{"a":null}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		q, err := pair.Read(src)
		if err == nil {
			var r *pair.Result
			if r, err = pair.Pair(t.Context(), q); err == nil {
				if !(r.Utilisation >= 0) {
					t.Fatalf("utilisation %v", r.Utilisation)
				}
				return
			}
		}
		var faults fault.List
		if !errors.As(err, &faults) || len(faults) == 0 {
			t.Fatalf("error without faults: %v", err)
		}
	})
}
