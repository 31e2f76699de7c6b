// Package answer holds what the service and the command both say: it takes a
// question read from a body, a query or a command line, asks the packages that
// know, and gives a value to encode. Encode is the only place where answers
// become JSON, so both print the same bytes.
package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"sync"
)

var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// Encode turns an answer into JSON with a line end. NaN and infinities are an
// error, as JSON has no word for them.
func Encode(v any) ([]byte, error) {
	b := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(b)
	b.Reset()
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, fmt.Errorf("answer: %w", err)
	}
	return bytes.Clone(b.Bytes()), nil
}
