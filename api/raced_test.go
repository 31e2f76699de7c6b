//go:build race

package api

// raced says that the race detector watches: it looks at what runs at once under -short
// too.
const raced = true
