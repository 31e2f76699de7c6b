package api

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/diagnose"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/teach"
)

// TestFormsHaveEveryKey compares the answers' types with their forms in the
// contract, key by key and all the way down, so that a key which no test
// happens to fill is promised as well, and none is promised that never comes.
func TestFormsHaveEveryKey(t *testing.T) {
	h := newHarness(t, Config{})
	for form, v := range map[string]any{
		"Report": answer.Report{}, "Shape": check.Shape{}, "LessonReading": teach.Reading{}, "LessonExperiment": teach.Experiment{}, "LessonHeading": teach.Heading{}, "Lessons": answer.Lessons{}, "Words": answer.Words{}, "Diagnosis": diagnose.Diagnosis{}, "Pair": pair.Result{}, "Movement": movement.Result{}, "EMC": answer.EMC{},
		"SpeciesList": answer.SpeciesList{}, "Species": answer.Species{}, "Problem": Problem{},
		"Climates": answer.Climates{}, "Exposures": answer.Exposures{}, "Finishes": answer.Finishes{}, "Adhesives": answer.Adhesives{},
	} {
		ref := h.doc.Components.Schemas[form]
		require.NotNil(t, ref, form)
		sameKeys(t, form, reflect.TypeOf(v), ref)
	}
}

func sameKeys(t *testing.T, at string, typ reflect.Type, ref *openapi3.SchemaRef) {
	pointer := typ.Kind() == reflect.Pointer
	for typ.Kind() == reflect.Pointer {
		typ = typ.Elem()
	}
	switch typ.Kind() {
	case reflect.Slice, reflect.Array:
		if assert.NotNil(t, ref.Value.Items, "%s is a list", at) {
			sameKeys(t, at+"[]", typ.Elem(), ref.Value.Items)
		}
		return
	case reflect.Map:
		if assert.NotNil(t, ref.Value.AdditionalProperties.Schema, "%s is an object with free keys", at) {
			sameKeys(t, at+"{}", typ.Elem(), ref.Value.AdditionalProperties.Schema)
		}
		return
	case reflect.Struct:
		if own, ok := reflect.Zero(typ).Interface().(json.Marshaler); ok { // its fields do not tell its keys
			text, err := own.MarshalJSON()
			require.NoError(t, err, at)
			var written map[string]any
			require.NoError(t, json.Unmarshal(text, &written), at)
			assert.Equal(t, slices.Sorted(maps.Keys(written)), slices.Sorted(maps.Keys(ref.Value.Properties)), "keys of %s", at)
			return
		}
	default:
		kind := map[reflect.Kind]string{reflect.Float64: "number", reflect.Int: "integer", reflect.String: "string", reflect.Bool: "boolean"}[typ.Kind()]
		may := ref.Value.Type
		assert.True(t, may.Is(kind) || pointer && len(*may) == 2 && may.Includes(kind) && may.Includes("null"), "%s is a %s", at, kind)
		return
	}
	keys := map[string]reflect.Type{}
	var always []string
	collect(typ, keys, &always)
	promised := slices.Sorted(maps.Keys(ref.Value.Properties))
	if !assert.Equal(t, slices.Sorted(maps.Keys(keys)), promised, "keys of %s", at) {
		return
	}
	slices.Sort(always)
	required := slices.Sorted(slices.Values(ref.Value.Required))
	assert.Equal(t, always, required, "keys of %s that always come", at)
	for key, typ := range keys {
		sameKeys(t, at+"/"+key, typ, ref.Value.Properties[key])
	}
}

// collect gathers the JSON keys of a struct, embedded ones included.
func collect(typ reflect.Type, keys map[string]reflect.Type, always *[]string) {
	for i := range typ.NumField() {
		f := typ.Field(i)
		if f.Anonymous && f.Tag.Get("json") == "" {
			inner := f.Type
			if inner.Kind() == reflect.Pointer {
				inner = inner.Elem()
			}
			collect(inner, keys, always)
			continue
		}
		if !f.IsExported() || f.Tag.Get("json") == "-" {
			continue
		}
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		keys[key] = f.Type
		if !strings.Contains(options, "omitempty") {
			*always = append(*always, key)
		}
	}
}
