package answer

import "github.com/tanrad/tanrad/pkg/pair"

// Pair answers a pair body. The error is a fault.List.
func Pair(src []byte) (*pair.Result, error) {
	q, err := pair.Read(src)
	if err != nil {
		return nil, err
	}
	return AskPair(q)
}

// AskPair answers a question about a pair, its numbers with nine significant
// digits. The error is a fault.List.
func AskPair(q pair.Request) (*pair.Result, error) {
	r, err := pair.Pair(q)
	if err != nil {
		return nil, err
	}
	roundPair(r)
	return r, nil
}
