// Package answer holds what the service and the command both say: it takes a
// question read from a body, a query or a command line, asks the packages that
// know, and gives a value to encode. Encode is the only place where answers
// become JSON, so both print the same bytes.
package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
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
	var whole bytes.Buffer
	enc := json.NewEncoder(&whole)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("answer: %w", err)
	}
	d := digits
	if few, ok := v.(interface{ Digits() int }); ok {
		d = few.Digits()
	}
	b.Grow(whole.Len())
	b.Write(shorten(b.AvailableBuffer(), whole.Bytes(), d))
	return nil
}

// digits is how many significant digits of a number are told where an answer does
// not say otherwise: far more than any input has, and few enough that round-off of
// another kernel does not show.
const digits = 9

// shorten copies JSON text and rounds every number that is not whole to its
// significant digits; texts stay as they are.
func shorten(to, src []byte, digits int) []byte {
	for i := 0; i < len(src); {
		switch c := src[i]; {
		case c == '"':
			end := stringEnd(src, i)
			to = append(to, src[i:end]...)
			i = end
		case c == '-' || c >= '0' && c <= '9':
			end := i + 1
			for end < len(src) && numeral(src[end]) {
				end++
			}
			to = told(to, src[i:end], digits)
			i = end
		default:
			to = append(to, c)
			i++
		}
	}
	return to
}

// stringEnd is behind the quote that ends a text of JSON which begins at a place.
func stringEnd(src []byte, at int) int {
	end := at + 1
	for src[end] != '"' {
		if src[end] == '\\' {
			end++
		}
		end++
	}
	return end + 1
}

func numeral(c byte) bool {
	return c >= '0' && c <= '9' || c == '.' || c == 'e' || c == 'E' || c == '+' || c == '-'
}

// told copies one number, rounded when it has a fraction and more than digits
// letters. Zero has no sign.
func told(to, word []byte, digits int) []byte {
	if string(word) == "-0" {
		return append(to, '0')
	}
	if len(word) <= digits+1 || !bytes.ContainsAny(word, ".e") {
		return append(to, word...)
	}
	v, err := strconv.ParseFloat(string(word), 64)
	if err != nil {
		return append(to, word...) // not from an encoder's hand
	}
	v, err = strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return append(to, word...)
	}
	text, err := json.Marshal(v)
	if err != nil {
		return append(to, word...)
	}
	return append(to, text...)
}
