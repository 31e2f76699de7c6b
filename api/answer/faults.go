package answer

import "github.com/tanrad/tanrad/pkg/fault"

// renamed gives faults at one pointer another, where a package's word for an
// input differs from the service's.
func renamed(err error, from, to string) error {
	l := fault.Of(err)
	if l == nil {
		return err
	}
	out := l.At("")
	for i := range out {
		if out[i].Pointer == from {
			out[i].Pointer = to
		}
	}
	return out
}

// parameter makes faults those of parameters; another error stays as it is.
func parameter(err error) error {
	if l := fault.Of(err); l != nil {
		return Parameters{l}
	}
	return err
}
