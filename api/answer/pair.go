package answer

import "github.com/tanrad/tanrad/pkg/pair"

// Pair answers a pair body. The error is a fault.List.
func Pair(src []byte) (*pair.Result, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	return pair.Pair(q)
}
