// Package answer holds what the service and the command both say: it takes a
// question read from a body, a query or a command line, asks the packages that
// know, and gives a value to encode. Encode is the only place where answers
// become JSON, so both print the same bytes.
package answer

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/tanrad/tanrad/pkg/pair"
)

// Encode turns an answer into JSON with a line end. NaN and infinities are an
// error, as JSON has no word for them.
func Encode(v any) ([]byte, error) {
	var b bytes.Buffer
	err := EncodeTo(&b, v)
	return b.Bytes(), err
}

// EncodeTo is Encode into a buffer of the caller's; on an error the buffer
// holds nothing of use.
func EncodeTo(b *bytes.Buffer, v any) error {
	if r, isPair := v.(*pair.Result); isPair {
		b.Grow(4096)
		if body, ok := appendPair(b.AvailableBuffer(), r); ok {
			b.Write(body)
			return nil
		}
	}
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("answer: %w", err)
	}
	return nil
}
