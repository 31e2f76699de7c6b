package answer

import (
	"errors"

	"github.com/tanrad/tanrad/pkg/fault"
)

// renamed gives faults at one pointer another, where a package's word for an
// input differs from the service's.
func renamed(err error, from, to string) error {
	var list fault.List
	if !errors.As(err, &list) {
		return err
	}
	out := make(fault.List, len(list))
	for i, f := range list {
		if f.Pointer == from {
			f.Pointer = to
		}
		out[i] = f
	}
	return out
}

// at gives a single fault a pointer; any other error stays as it is.
func at(err error, pointer string) error {
	var one fault.Fault
	if errors.As(err, &one) {
		one.Pointer = pointer
		return one
	}
	return err
}
