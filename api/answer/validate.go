package answer

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"github.com/go-playground/validator/v10"

	"github.com/tanrad/tanrad/pkg/fault"
)

// flat validates flat parameters by their tags; names in faults are JSON names.
var flat = func() *validator.Validate {
	v := validator.New(validator.WithRequiredStructEnabled())
	v.RegisterTagNameFunc(func(f reflect.StructField) string {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		return name
	})
	return v
}()

// validate returns one fault for each parameter that breaks its rule.
func validate(params any) fault.List {
	err := flat.Struct(params)
	var broken validator.ValidationErrors
	if !errors.As(err, &broken) {
		return nil
	}
	faults := make(fault.List, len(broken))
	for i, b := range broken {
		f := fault.Fault{Pointer: "/" + b.Field(), Found: fmt.Sprint(reflect.Indirect(reflect.ValueOf(b.Value())))}
		switch b.Tag() {
		case "required", "required_without":
			f.Rule, f.Found, f.Detail = fault.MissingKey, "", "the parameter is missing"
		case "excluded_with":
			f.Rule, f.Detail = fault.NotAllowed, "the parameter cannot stand beside another one"
			f.Allowed = "one of " + strings.ToLower(b.Param()) + " and " + b.Field()
		case "oneof":
			words := strings.Fields(b.Param())
			f.Rule, f.Detail = fault.NotOneOf, "not a known word"
			f.Allowed, f.Nearest = strings.Join(words, ", "), fault.Nearest(f.Found, words, 1)
		case "max", "min":
			f.Rule, f.Detail, f.Allowed = fault.WrongLength, "the text is too long", "at most "+b.Param()+" letters"
			switch b.Kind() {
			case reflect.String:
			case reflect.Slice:
				f.Detail, f.Allowed, f.Found = "the parameter stands there too often", "at most "+b.Param()+" times", fmt.Sprint(reflect.ValueOf(b.Value()).Len(), " times")
			default:
				f.Rule, f.Detail, f.Allowed = fault.OutOfRange, "the number is outside its range", limitsOf(params, b.StructField())
			}
		default:
			f.Rule, f.Detail, f.Allowed = fault.OutOfRange, "the number is outside its range", limitsOf(params, b.StructField())
		}
		faults[i] = f
	}
	return faults
}

// limitsOf reads "0 to 98" from the tags of a field.
func limitsOf(params any, field string) string {
	t := reflect.Indirect(reflect.ValueOf(params)).Type()
	f, _ := t.FieldByName(field)
	var lo, hi string
	for rule := range strings.SplitSeq(f.Tag.Get("validate"), ",") {
		name, value, _ := strings.Cut(rule, "=")
		switch name {
		case "gte", "min":
			lo = value
		case "lte", "max":
			hi = value
		}
	}
	return lo + " to " + hi
}
