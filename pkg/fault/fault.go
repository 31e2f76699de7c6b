// Package fault holds the closed list of rules that input can break, and the
// form in which a broken rule is told: where it stands, what was found, what
// is allowed, which known name is nearest and what would mend it.
//
// Every reader in this module returns a List: one Fault for each thing that is
// wrong, never several melted into one sentence.
package fault

import (
	"fmt"
	"strings"
)

// Rule names one kind of fault. The list below is closed: a service and its
// callers may switch on it.
type Rule string

// The rules.
const (
	Syntax       Rule = "syntax"       // text is not JSON, or JSON goes on after its end
	TooLarge     Rule = "too-large"    // more bytes, blocks, depth or elements than the stated bound
	UnknownKey   Rule = "unknown-key"  // a key the form does not have
	RepeatedKey  Rule = "repeated-key" // a key given twice in one object
	MissingKey   Rule = "missing-key"  // a required key is absent
	WrongType    Rule = "wrong-type"   // null, or text for a number, and so on
	WrongLength  Rule = "wrong-length" // a list too short or too long
	OutOfRange   Rule = "out-of-range" // a number outside its limits, NaN or infinite
	NotOneOf     Rule = "not-one-of"   // a word outside its closed list
	UnknownName  Rule = "unknown-name" // a wood, glue, finish or climate nobody knows
	MissingData  Rule = "missing-data" // a known wood whose needed value was never published
	NotAllowed   Rule = "not-allowed"  // two things that exclude each other
	Ragged       Rule = "ragged"       // rows of unequal length
	Outline      Rule = "outline"      // an outline that crosses itself or has no area
	Overlap      Rule = "overlap"      // two pieces that share area
	Detached     Rule = "detached"     // a piece that touches nothing
	Sliver       Rule = "sliver"       // contact too short or corners too near to mesh
	Construction Rule = "construction" // a border or cut that this field cannot take
	Unstable     Rule = "unstable"     // elastic constants that are not positive definite
)

// Fault is one broken rule.
type Fault struct {
	Rule    Rule        `json:"rule"`
	Pointer string      `json:"pointer"`           // RFC 6901 JSON pointer into the input; "" is the whole input
	Detail  string      `json:"detail"`            // one sentence for a person
	Found   string      `json:"found,omitempty"`   // what stood there
	Allowed string      `json:"allowed,omitempty"` // what may stand there
	Nearest []string    `json:"nearest,omitempty"` // known names near the one found
	Fix     string      `json:"fix,omitempty"`     // what would mend it
	At      *[2]float64 `json:"at,omitempty"`      // place on the board, mm
	Pieces  []string    `json:"pieces,omitempty"`  // ids of the pieces concerned
}

// Error tells the fault in one line.
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.Detail)
	if f.Pointer != "" {
		fmt.Fprintf(&b, " at %q", f.Pointer)
	}
	if f.Allowed != "" {
		fmt.Fprintf(&b, ": allowed %s", f.Allowed)
	}
	if len(f.Nearest) > 0 {
		fmt.Fprintf(&b, "; nearest: %s", strings.Join(f.Nearest, ", "))
	}
	if f.Fix != "" {
		fmt.Fprintf(&b, "; %s", f.Fix)
	}
	return b.String()
}

// List is every fault found in one input. A nil List means the input is good.
type List []Fault

// Error tells all faults, one a line.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, f := range l {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns l as an error, or nil when the list is empty. It keeps a typed
// nil from turning into a non-nil error.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}
