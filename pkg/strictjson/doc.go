// Package strictjson reads JSON (RFC 8259) without forgiving anything, and keeps
// for every value the pointer (RFC 6901) under which it stood, so that a fault
// can be told with its place.
//
// The standard decoder lets pass what a person did not mean: a key given twice,
// a key in other letters, text after the value, null for a number, a list too
// short. Here each of these is a fault of its own. Parse turns the text into a
// Doc; takers such as Number, Text and List take what is wanted from it and
// collect in the Doc whatever is wrong, so that one reading finds every fault:
//
//	doc, err := strictjson.Parse(body, strictjson.Limits{})
//	if err != nil { return err }               // not JSON at all, or too large
//	obj := doc.Root().Object("species", "size")
//	name, _ := obj.Need("species").Text(64)
//	size, _ := obj.Need("size").Number(strictjson.Above(0, 5000, "mm"))
//	if err := doc.Err(); err != nil { return err }
//
// Tokens are those of github.com/go-json-experiment/json/jsontext, which refuses
// what is no JSON, is not UTF-8, holds a lone surrogate or goes on after its end;
// the tree, the bounds and the takers are ours. An absent Value may be handed to
// any taker: it yields nothing and no second fault.
//
// Past the limit of faults a taker neither looks for the nearest name nor puts a
// place together: a text of a hundred thousand faults costs as much as a good one.
//
// Not done: a number keeps its text, but is taken as float64.
package strictjson
