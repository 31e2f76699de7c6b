package check

import (
	"fmt"
	"math"
	"reflect"
)

// finite gives an error when a number somewhere in a report is none. A report
// with one would tell a verdict that nothing stands behind. Where it is, is put
// together on the way back: a report has ten thousand numbers that are well.
func finite(v reflect.Value, at string) error {
	if where, f, ok := infinite(v); ok {
		return fmt.Errorf("check: %s%s is %g: a fault of this program, not of the board", at, where, f)
	}
	return nil
}

// infinite finds a number that is none, and where.
func infinite(v reflect.Value) (where string, f float64, found bool) {
	switch v.Kind() {
	case reflect.Float64:
		f = v.Float()
		return "", f, math.IsNaN(f) || math.IsInf(f, 0)
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return infinite(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if where, f, found = infinite(v.Field(i)); found {
				return "." + v.Type().Field(i).Name + where, f, true
			}
		}
	case reflect.Slice, reflect.Array:
		if k := v.Type().Elem().Kind(); k == reflect.String || k == reflect.Bool || k == reflect.Int {
			return "", 0, false
		}
		for i := range v.Len() {
			if where, f, found = infinite(v.Index(i)); found {
				return fmt.Sprintf("[%d]%s", i, where), f, true
			}
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next(); {
			if where, f, found = infinite(it.Value()); found {
				return fmt.Sprintf("[%v]%s", it.Key(), where), f, true
			}
		}
	}
	return "", 0, false
}
