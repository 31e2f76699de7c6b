package strictjson_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

func parse(t *testing.T, src string) *strictjson.Doc {
	t.Helper()
	d, err := strictjson.Parse([]byte(src), strictjson.Limits{})
	require.NoError(t, err)
	return d
}

func TestTextThatIsRefusedWhole(t *testing.T) {
	for name, c := range map[string]struct {
		src  string
		rule fault.Rule
		says string
	}{
		"empty":                {"", fault.Syntax, "empty"},
		"only spaces":          {" \n ", fault.Syntax, "empty"},
		"cut off":              {`{"a": [1, 2`, fault.Syntax, "not JSON at line 1"},
		"lone surrogate":       {`["a\ud800b"]`, fault.Syntax, "surrogate"},
		"fraction":             {`{"a": 1 1/2}`, fault.Syntax, `write "1 1/2" in quotes, or 1.5`},
		"half":                 {`[3/4, 2]`, fault.Syntax, `write "3/4" in quotes, or 0.75`},
		"trailing text":        {"{}\n{}", fault.Syntax, "goes on after the end of the value at line 2, byte 1"},
		"trailing comma":       {`[1,]`, fault.Syntax, "line 1, byte 3"},
		"NaN":                  {`{"a": NaN}`, fault.Syntax, "NaN"},
		"Infinity":             {`[Infinity]`, fault.Syntax, "Infinity"},
		"negative infinity":    {`[-Infinity]`, fault.Syntax, "Infinity"},
		"bad UTF-8":            {"[\n\"\xff\"]", fault.Syntax, "line 2, byte 2: invalid UTF-8"},
		"byte order mark":      {"\ufeff{}", fault.Syntax, "not JSON"},
		"too deep":             {strings.Repeat("[", 40) + strings.Repeat("]", 40), fault.TooLarge, "more than 32 levels"},
		"far too deep":         {strings.Repeat("[", 5<<20), fault.TooLarge, "nested"},
		"too many bytes":       {`"` + strings.Repeat("x", 11<<20) + `"`, fault.TooLarge, "too long"},
		"too many values":      {"[" + strings.Repeat("1,", 1_000_001) + "1]", fault.TooLarge, "too many values"},
		"comment":              {"{} // no", fault.Syntax, "goes on"},
		"single quotes":        {`{'a': 1}`, fault.Syntax, "not JSON"},
		"leading zero":         {`[012]`, fault.Syntax, "not JSON"},
		"brackets in a string": {`["[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[", 1`, fault.Syntax, "not JSON"},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			d, err := strictjson.Parse([]byte(c.src), strictjson.Limits{})
			require.Error(t, err)
			assert.Nil(t, d)
			var list fault.List
			require.ErrorAs(t, err, &list)
			require.Len(t, list, 1)
			assert.Equal(t, c.rule, list[0].Rule)
			assert.Contains(t, list[0].Error()+list[0].Found+list[0].Fix, c.says)
			assert.Less(t, time.Since(start), 20*time.Second, "bounded even on a slow machine")
		})
	}
}

func TestDepthCountsOnlyBracketsOutsideStrings(t *testing.T) {
	d, err := strictjson.Parse([]byte(`["[[[[\"[[[", {"a{": "}"}]`), strictjson.Limits{Depth: 2})
	require.NoError(t, err)
	assert.Equal(t, 2, d.Root().Len())
	_, err = strictjson.Parse([]byte(`[[[1]]]`), strictjson.Limits{Depth: 2})
	assert.Error(t, err)
}

func TestPointersAreEscaped(t *testing.T) {
	d := parse(t, `{"a/b": {"m~n": [10, {"x": 7}]}}`)
	v := d.Root().Children()[0].Children()[0].Children()[1].Children()[0]
	assert.Equal(t, "/a~1b/m~0n/1/x", v.Pointer())
	assert.Equal(t, "", d.Root().Pointer())
}

func TestRepeatedKeysAtEveryDepthAndTheFirstCounts(t *testing.T) {
	d := parse(t, `{"a": 1, "a": {"c": 3, "c": 4}, "b": [{"x": 1, "x": 2}]}`)
	var at []string
	for _, f := range d.Faults() {
		assert.Equal(t, fault.RepeatedKey, f.Rule)
		at = append(at, f.Pointer)
	}
	assert.Equal(t, []string{"/a", "/a/c", "/b/0/x"}, at)
	n, ok := d.Root().Object("a", "b").Need("a").Number(strictjson.Between(0, 9, ""))
	assert.True(t, ok)
	assert.Equal(t, 1.0, n)
}

// TestTakers gives every taker what it does not want. Each case is one fault.
func TestTakers(t *testing.T) {
	num := func(v strictjson.Value) { v.Number(strictjson.Above(0, 10, "mm")) }
	for name, c := range map[string]struct {
		src  string
		take func(strictjson.Value)
		want fault.Fault
	}{
		"null for a number":   {`null`, num, fault.Fault{Rule: fault.WrongType, Found: "null", Allowed: "a number"}},
		"text for a number":   {`"4"`, num, fault.Fault{Rule: fault.WrongType, Found: `"4"`, Allowed: "a number"}},
		"open end":            {`0`, num, fault.Fault{Rule: fault.OutOfRange, Found: "0", Allowed: "above 0 and up to 10 mm"}},
		"over":                {`10.01`, num, fault.Fault{Rule: fault.OutOfRange, Found: "10.01", Allowed: "above 0 and up to 10 mm"}},
		"not a float64":       {`1e999`, num, fault.Fault{Rule: fault.OutOfRange, Found: "1e999", Allowed: "above 0 and up to 10 mm"}},
		"fraction":            {`2.5`, func(v strictjson.Value) { v.Whole(1, 9) }, fault.Fault{Rule: fault.WrongType, Found: "2.5", Allowed: "a whole number 1 to 9"}},
		"empty text":          {`""`, func(v strictjson.Value) { v.Text(5) }, fault.Fault{Rule: fault.WrongLength, Found: `""`, Allowed: "1 to 5 letters"}},
		"long text":           {`"sixsix"`, func(v strictjson.Value) { v.Text(5) }, fault.Fault{Rule: fault.WrongLength, Found: `"sixsix"`, Allowed: "1 to 5 letters"}},
		"word":                {`"MM"`, func(v strictjson.Value) { v.Word("mm", "in") }, fault.Fault{Rule: fault.NotOneOf, Found: `"MM"`, Allowed: "mm, in", Nearest: []string{"mm"}}},
		"short pair":          {`[1]`, func(v strictjson.Value) { v.List(2, 2) }, fault.Fault{Rule: fault.WrongLength, Found: "a list of 1", Allowed: "exactly 2 elements"}},
		"long pair":           {`[1,2,3]`, func(v strictjson.Value) { v.List(2, 2) }, fault.Fault{Rule: fault.WrongLength, Found: "a list of 3", Allowed: "exactly 2 elements"}},
		"bool for object":     {`true`, func(v strictjson.Value) { v.Object("a") }, fault.Fault{Rule: fault.WrongType, Found: "true", Allowed: "an object"}},
		"too few keys":        {`{}`, func(v strictjson.Value) { v.AnyObject(1, 3) }, fault.Fault{Rule: fault.WrongLength, Found: "an object", Allowed: "1 to 3 keys"}},
		"key in other letter": {`{"A":1}`, func(v strictjson.Value) { v.Object("a") }, fault.Fault{Rule: fault.UnknownKey, Pointer: "/A", Found: `"A"`, Allowed: "a", Nearest: []string{"a"}}},
		"missing key":         {`{}`, func(v strictjson.Value) { v.Object("a").Need("a").Number(strictjson.Range{}) }, fault.Fault{Rule: fault.MissingKey, Pointer: "/a", Found: "nothing", Fix: `give "a"`}},
		"none of":             {`{}`, func(v strictjson.Value) { v.Object("a", "b").OneOf("a", "b") }, fault.Fault{Rule: fault.MissingKey, Found: "an object", Allowed: "one of a, b"}},
		"two of":              {`{"b":1,"a":2}`, func(v strictjson.Value) { v.Object("a", "b").OneOf("a", "b") }, fault.Fault{Rule: fault.NotAllowed, Pointer: "/a", Found: "2", Allowed: "one of a, b"}},
		"number for bool":     {`0`, func(v strictjson.Value) { v.Bool() }, fault.Fault{Rule: fault.WrongType, Found: "0", Allowed: "true or false"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := parse(t, c.src)
			c.take(d.Root())
			require.Len(t, d.Faults(), 1)
			got := d.Faults()[0]
			assert.NotEmpty(t, got.Detail)
			got.Detail = ""
			assert.Equal(t, c.want, got)
		})
	}
}

func TestAbsentValuesRaiseNoSecondFault(t *testing.T) {
	d := parse(t, `{"a": {"b": 1}}`)
	var none *strictjson.Members
	v := none.Need("x")
	_, ok := v.Number(strictjson.Range{})
	assert.False(t, ok)
	assert.Nil(t, v.Object("y").Get("z").Children())
	_, ok = v.Text(3)
	assert.False(t, ok)
	assert.Equal(t, strictjson.Absent, v.Kind())
	assert.Empty(t, d.Faults())
}

func TestGoodValuesComeThrough(t *testing.T) {
	d := parse(t, ` {"n": -0.0, "w": 3e0, "t": "é/~", "l": [1, 2], "y": true, "ring_angle": 0} `)
	m := d.Root().Object("n", "w", "t", "l", "y", "ring_angle")
	n, ok := m.Need("n").Number(strictjson.Between(0, 1, ""))
	assert.True(t, ok)
	assert.Equal(t, "0", strictjson.Decimal(n), "no minus zero")
	w, ok := m.Need("w").Whole(1, 5)
	assert.True(t, ok)
	assert.Equal(t, 3, w)
	s, ok := m.Need("t").Text(3)
	assert.True(t, ok)
	assert.Equal(t, "é/~", s)
	l, ok := m.Need("l").List(0, -1)
	assert.True(t, ok)
	for i, v := range l {
		n, ok := v.Number(strictjson.Between(0, 9, ""))
		assert.True(t, ok)
		assert.Equal(t, float64(i+1), n)
	}
	assert.Len(t, l, 2)
	y, ok := m.Need("y").Bool()
	assert.True(t, y && ok)
	assert.True(t, m.Has("ring_angle"), "0 is there")
	assert.NoError(t, d.Err())
}

func TestFaultsAreCounted(t *testing.T) {
	d, err := strictjson.Parse([]byte(`[`+strings.Repeat("null,", 500)+`1]`), strictjson.Limits{Faults: 10})
	require.NoError(t, err)
	items, ok := d.Root().List(0, -1)
	require.True(t, ok)
	for _, v := range items {
		v.Number(strictjson.Between(0, 9, ""))
	}
	require.Len(t, d.Faults(), 11)
	assert.True(t, d.Full())
	assert.Equal(t, fault.TooLarge, d.Faults()[10].Rule)
}

// same walks the tree beside what encoding/json made of the same text.
func same(t *testing.T, want any, got strictjson.Value) {
	t.Helper()
	switch w := want.(type) {
	case nil:
		require.Equal(t, strictjson.Null, got.Kind(), got.Pointer())
	case bool:
		b, ok := got.Bool()
		require.True(t, ok && b == w, got.Pointer())
	case json.Number:
		require.Equal(t, strictjson.Number, got.Kind(), got.Pointer())
		if f, err := w.Float64(); err == nil {
			g, ok := got.Number(strictjson.Between(-math.MaxFloat64, math.MaxFloat64, ""))
			require.True(t, ok && f == g, got.Pointer())
		}
	case string:
		if w == "" {
			require.Equal(t, strictjson.String, got.Kind(), got.Pointer())
			_, ok := got.Text(1 << 20)
			require.False(t, ok, "a text of no letters")
			return
		}
		s, ok := got.Text(1 << 20)
		require.True(t, ok && s == w, got.Pointer())
	case []any:
		items, ok := got.List(0, -1)
		require.True(t, ok && len(items) == len(w), got.Pointer())
		for i := range w {
			same(t, w[i], items[i])
		}
	case map[string]any:
		members, ok := got.AnyObject(0, 1<<20)
		require.True(t, ok && len(members) == len(w), got.Pointer())
		for _, m := range members {
			same(t, w[m.Key()], m)
		}
	}
}

// Past the limit faults are dropped, and the work of telling them well with them:
// counted in allocations, a text of 20,000 unknown keys costs what a good one of
// its size costs, and not that of 20,000 faults told in full.
func TestFaultsPastTheLimitCostNothing(t *testing.T) {
	text := func(key string) []byte {
		var b strings.Builder
		b.WriteString(`{"known": 1`)
		for i := range 20_000 {
			fmt.Fprintf(&b, `,"%s%d": 2`, key, i)
		}
		b.WriteString("}")
		return []byte(b.String())
	}
	take := func(src []byte, read func(strictjson.Value)) float64 {
		return testing.AllocsPerRun(1, func() {
			d, err := strictjson.Parse(src, strictjson.Limits{})
			require.NoError(t, err)
			read(d.Root())
		})
	}
	src := text("knowm")
	good := take(src, func(v strictjson.Value) { v.AnyObject(0, -1) })
	faulty := take(src, func(v strictjson.Value) { v.Object("known", "unknown", "other", "more") })
	assert.Less(t, faulty, good+15_000, "of 20,000 unknown keys 100 are told")
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{`{"a":[1,{"b":null}]}`, `[[],{},"",0,true]`, `{"a":1,"a":2}`, "\xff", `{"\ud800":1}`, ` [ -1.5e+3,"a\\\"b\u00e9\\",{"":"[{"} , false]`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		d, err := strictjson.Parse(src, strictjson.Limits{Bytes: 1 << 16})
		if (err == nil) == (d == nil) {
			t.Fatal("both or neither of Doc and error")
		}
		if d != nil {
			var walk func(strictjson.Value)
			walk = func(v strictjson.Value) {
				if v.Len() != len(v.Children()) {
					t.Fatal("length and children differ at", v.Pointer())
				}
				for _, c := range v.Children() {
					walk(c)
				}
			}
			walk(d.Root())
			if d.Err() != nil {
				return // repeated keys: encoding/json keeps the last, we the first
			}
			dec := json.NewDecoder(bytes.NewReader(src))
			dec.UseNumber()
			var want any
			require.NoError(t, dec.Decode(&want))
			same(t, want, d.Root())
		}
	})
}
