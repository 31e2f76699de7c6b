package strict

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Limits bounds what Parse reads. Zero fields mean the defaults.
type Limits struct {
	Bytes  int // length of the text; default 10 MB (10·2²⁰)
	Depth  int // nesting of lists and objects; default 32
	Values int // values in all, keys not counted; default 1,000,000
	Faults int // faults collected before the rest is left unlisted; default 100
}

func (l Limits) orDefault() Limits {
	set := func(v *int, def int) {
		if *v <= 0 {
			*v = def
		}
	}
	set(&l.Bytes, 10<<20)
	set(&l.Depth, 32)
	set(&l.Values, 1_000_000)
	set(&l.Faults, 100)
	return l
}

// Kind is the JSON type of a value.
type Kind uint8

// The kinds. Absent is a value that is not there at all.
const (
	Absent Kind = iota
	Null
	Bool
	Number
	String
	List
	Object
)

func (k Kind) String() string {
	return [...]string{"nothing", "null", "true or false", "a number", "text", "a list", "an object"}[k]
}

// node is one value in the arena of a Doc. Children hang as a linked list so
// that a large file costs one allocation now and then, not one a value.
type node struct {
	kind                Kind
	parent, first, next int32
	count               int32  // children
	index               int32  // place in a parent list
	key                 string // key in a parent object
	text                string // literal of a number, content of a string, "true" or "false"
}

// Doc is a JSON text read whole, and the list of faults found in it so far.
type Doc struct {
	nodes  []node
	limits Limits
	faults fault.List
}

// Value is one value of a Doc. The zero Value is absent.
type Value struct {
	doc *Doc
	at  int32
}

// Root returns the outermost value.
func (d *Doc) Root() Value { return Value{d, 0} }

// Add collects a fault. Past the limit one closing fault says so, and further
// ones are dropped.
func (d *Doc) Add(f fault.Fault) {
	switch n := len(d.faults); {
	case n < d.limits.Faults:
		d.faults = append(d.faults, f)
	case n == d.limits.Faults:
		d.faults = append(d.faults, fault.Fault{
			Rule:    fault.TooLarge,
			Detail:  fmt.Sprintf("more than %d faults; the rest is not listed", d.limits.Faults),
			Allowed: fmt.Sprintf("%d faults are listed", d.limits.Faults),
			Fix:     "mend these first",
		})
	}
}

// Full reports that the limit of faults is reached, so that a reader may stop.
func (d *Doc) Full() bool { return len(d.faults) > d.limits.Faults }

// Faults returns what was collected so far.
func (d *Doc) Faults() fault.List { return d.faults }

// Err returns the faults as an error, nil when there are none.
func (d *Doc) Err() error { return d.faults.Err() }

// Parse reads one JSON value. The error is a fault.List and stands for text
// that is no JSON, is not UTF-8, goes on after its end or passes a bound; then
// there is no Doc. A repeated key is collected in the Doc and its first value
// kept, so that reading can go on and find the rest.
func Parse(src []byte, limits Limits) (*Doc, error) {
	limits = limits.orDefault()
	if len(src) > limits.Bytes {
		return nil, fault.List{{
			Rule: fault.TooLarge, Detail: "the text is too long",
			Found: fmt.Sprintf("%d bytes", len(src)), Allowed: fmt.Sprintf("up to %d bytes", limits.Bytes),
		}}
	}
	if at := invalidUTF8(src); at >= 0 {
		line, col := place(src, at)
		return nil, syntax(fmt.Sprintf("the text is not UTF-8 at line %d, byte %d", line, col))
	}
	if n := depth(src); n > limits.Depth {
		return nil, fault.List{{
			Rule: fault.TooLarge, Detail: "lists and objects are nested too deeply",
			Found: fmt.Sprintf("%d levels", n), Allowed: fmt.Sprintf("up to %d levels", limits.Depth),
		}}
	}
	var whole json.RawMessage
	if err := json.Unmarshal(src, &whole); err != nil {
		return nil, syntaxFault(src, err)
	}
	d := &Doc{limits: limits}
	if err := d.build(string(src)); err != nil {
		return nil, err
	}
	return d, nil
}

func invalidUTF8(src []byte) int {
	if utf8.Valid(src) {
		return -1
	}
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

func syntax(detail string) fault.List {
	return fault.List{{Rule: fault.Syntax, Detail: detail, Allowed: "one JSON value (RFC 8259)"}}
}

func syntaxFault(src []byte, err error) fault.List {
	var se *json.SyntaxError
	if !errors.As(err, &se) {
		return syntax("the text is not JSON: " + err.Error())
	}
	if len(bytes.TrimSpace(src)) == 0 {
		return syntax("the text is empty")
	}
	at := min(max(int(se.Offset)-1, 0), len(src)-1)
	line, col := place(src, at)
	list := syntax(fmt.Sprintf("the text is not JSON at line %d, byte %d: %s", line, col, se.Error()))
	if json.Valid(src[:at]) && se.Offset > 0 {
		list[0].Detail = fmt.Sprintf("text goes on after the end of the value at line %d, byte %d", line, col)
	}
	rest := src[max(0, at-2):]
	if rest = rest[:min(len(rest), 12)]; bytes.Contains(rest, []byte("NaN")) || bytes.Contains(rest, []byte("Inf")) {
		list[0].Fix = "JSON has neither NaN nor Infinity; give a number"
	}
	return list
}

// place turns a byte offset into line and byte of that line, both from 1.
func place(src []byte, at int) (line, col int) {
	before := src[:at]
	return 1 + bytes.Count(before, []byte("\n")), at - bytes.LastIndexByte(before, '\n')
}

// depth is the deepest nesting of lists and objects, told without recursion and
// before anything that recurses or keeps a stack sees the text.
func depth(src []byte) int {
	now, deepest, quoted := 0, 0, false
	for i := 0; i < len(src); i++ {
		switch c := src[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[' || c == '{':
			now++
			deepest = max(deepest, now)
		case c == ']' || c == '}':
			now--
		}
	}
	return deepest
}

// frame is a list or object being read.
type frame struct {
	at, last int32           // the node, and its last child so far
	seen     map[string]bool // keys so far, objects only
	key      string          // key read, value awaited
	haveKey  bool
}

// build makes the tree. The text was found to be JSON by encoding/json, so only
// the ends of its tokens are looked for here, in one pass and without copies:
// the token reader of encoding/json takes several times as long as all else.
func (d *Doc) build(text string) error {
	var stack []frame
	for i := 0; i < len(text); {
		var n node
		switch c := text[i]; c {
		case ' ', '\t', '\r', '\n', ',', ':':
			i++
			continue
		case '}', ']':
			stack = stack[:len(stack)-1]
			i++
			continue
		case '{', '[':
			n.kind = List
			if c == '{' {
				n.kind = Object
			}
			i++
		case '"':
			end := stringEnd(text, i)
			content, err := unquote(text[i:end])
			if err != nil {
				return syntax("the text is not JSON: " + err.Error())
			}
			i = end
			if top := len(stack) - 1; top >= 0 && stack[top].seen != nil && !stack[top].haveKey {
				f := &stack[top]
				if f.key, f.haveKey = content, true; f.seen[content] {
					d.repeated(f.at, content)
				}
				f.seen[content] = true
				continue
			}
			n.kind, n.text = String, content
		default:
			end := i + 1
			for end < len(text) && strings.IndexByte(" \t\r\n,]}", text[end]) < 0 {
				end++
			}
			n.kind, n.text = Number, text[i:end]
			switch c {
			case 'n':
				n.kind, n.text = Null, ""
			case 't', 'f':
				n.kind = Bool
			}
			i = end
		}
		var top *frame
		if len(stack) > 0 {
			top = &stack[len(stack)-1]
		}
		at, err := d.push(top, n)
		if err != nil {
			return err
		}
		if n.kind == List || n.kind == Object {
			f := frame{at: at, last: -1}
			if n.kind == Object {
				f.seen = make(map[string]bool, 8)
			}
			stack = append(stack, f)
		}
	}
	return nil
}

// stringEnd is the place behind the closing quote of the string that opens at i.
func stringEnd(text string, i int) int {
	for i++; text[i] != '"'; i++ {
		if text[i] == '\\' {
			i++
		}
	}
	return i + 1
}

// unquote gives the content of a JSON string. Most have no escapes.
func unquote(literal string) (content string, err error) {
	if strings.IndexByte(literal, '\\') < 0 {
		return literal[1 : len(literal)-1], nil
	}
	err = json.Unmarshal([]byte(literal), &content)
	return content, err
}

// push adds a value as the next child of top.
func (d *Doc) push(top *frame, n node) (int32, error) {
	if len(d.nodes) >= d.limits.Values {
		return 0, fault.List{{
			Rule: fault.TooLarge, Detail: "the text has too many values",
			Allowed: fmt.Sprintf("up to %d values", d.limits.Values),
		}}
	}
	at := int32(len(d.nodes))
	n.parent, n.first, n.next = -1, -1, -1
	if top != nil {
		n.parent, n.index, n.key = top.at, d.nodes[top.at].count, top.key
		d.nodes[top.at].count++
		if top.last < 0 {
			d.nodes[top.at].first = at
		} else {
			d.nodes[top.last].next = at
		}
		top.last, top.haveKey = at, false
	}
	d.nodes = append(d.nodes, n)
	return at, nil
}

func (d *Doc) repeated(object int32, key string) {
	d.Add(fault.Fault{
		Rule: fault.RepeatedKey, Pointer: Value{d, object}.Pointer() + "/" + escape(key),
		Detail:  fmt.Sprintf("the key %s stands twice in one object", quote(key)),
		Allowed: "each key once", Fix: "take one of them out",
	})
}
