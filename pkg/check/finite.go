package check

import (
	"fmt"
	"math"
	"reflect"
)

// finite gives an error when a number somewhere in a report is none. A report
// with one would tell a verdict that nothing stands behind.
func finite(v reflect.Value, at string) error {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("check: %s is %g: a fault of this program, not of the board", at, f)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return finite(v.Elem(), at)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if err := finite(v.Field(i), at+"."+v.Type().Field(i).Name); err != nil {
				return err
			}
		}
	case reflect.Slice, reflect.Array:
		if k := v.Type().Elem().Kind(); k == reflect.String || k == reflect.Bool || k == reflect.Int {
			return nil
		}
		for i := range v.Len() {
			if err := finite(v.Index(i), fmt.Sprintf("%s[%d]", at, i)); err != nil {
				return err
			}
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next(); {
			if err := finite(it.Value(), fmt.Sprintf("%s[%v]", at, it.Key())); err != nil {
				return err
			}
		}
	}
	return nil
}
