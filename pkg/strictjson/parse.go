package strictjson

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

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
	faults fault.Collector
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
func (d *Doc) Add(f fault.Fault) { d.faults.Add(f) }

// Full reports that the limit of faults is reached, so that a reader may stop.
func (d *Doc) Full() bool { return d.faults.Full() }

// Faults returns what was collected so far.
func (d *Doc) Faults() fault.List { return d.faults.List() }

// Err returns the faults as an error, nil when there are none.
func (d *Doc) Err() error { return d.faults.List().Err() }

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
	d := &Doc{limits: limits, faults: fault.Collector{Most: limits.Faults}}
	if l := d.build(src); l != nil {
		return nil, l
	}
	return d, nil
}

func syntax(detail string) fault.List {
	return fault.List{{Rule: fault.Syntax, Detail: detail, Allowed: "one JSON value (RFC 8259)"}}
}

// syntaxFault tells what the decoder met, with its place in the text.
func syntaxFault(src []byte, err error) fault.List {
	if errors.Is(err, io.EOF) {
		return syntax("the text is empty")
	}
	at, why := len(src), err.Error()
	var se *jsontext.SyntacticError
	if errors.As(err, &se) {
		at, why = min(int(se.ByteOffset), len(src)), shorten(se.Err.Error())
	}
	line, col := place(src, at)
	list := syntax(fmt.Sprintf("the text is not JSON at line %d, byte %d: %s", line, col, why))
	rest := src[max(0, at-2):]
	if rest = rest[:min(len(rest), 12)]; bytes.Contains(rest, []byte("NaN")) || bytes.Contains(rest, []byte("Inf")) {
		list[0].Fix = "JSON has neither NaN nor Infinity; give a number"
	}
	list[0].Fix += fractionAt(src, at)
	return list
}

// fraction is a length as makers write it, with the blank before it that a
// number of JSON ends at.
var fraction = regexp.MustCompile(`(?:(\d+)[ -]+)?(\d+)/(\d+)`)

// fractionAt tells how to write the fraction that a decoder stumbled over, "" when
// there is none.
func fractionAt(src []byte, at int) string {
	const around = 24 // bytes; no fraction is longer
	from := max(0, at-around)
	for _, m := range fraction.FindAllSubmatchIndex(src[from:min(len(src), at+around)], -1) {
		if from+m[0] > at || from+m[1] < at {
			continue
		}
		part := func(i int) float64 {
			if m[i] < 0 {
				return 0
			}
			v, _ := strconv.ParseFloat(string(src[from+m[i]:from+m[i+1]]), 64) // digits only
			return v
		}
		text := string(src[from+m[0] : from+m[1]])
		if part(6) == 0 {
			return ""
		}
		return fmt.Sprintf("write %q in quotes, or %s", text, Decimal(part(2)+part(4)/part(6)))
	}
	return ""
}

// place turns a byte offset into line and byte of that line, both from 1.
func place(src []byte, at int) (line, col int) {
	before := src[:at]
	return 1 + bytes.Count(before, []byte("\n")), at - bytes.LastIndexByte(before, '\n')
}

// frame is a list or object being read.
type frame struct {
	at, last int32           // the node, and its last child so far
	seen     map[string]bool // keys so far, objects only
	key      string          // key read, value awaited
	haveKey  bool
}

// build makes the tree from the tokens of the text. Repeated names are told
// here, with all the others, and not by the decoder, which would end at the first.
func (d *Doc) build(src []byte) fault.List {
	dec := jsontext.NewDecoder(bytes.NewBuffer(src), jsontext.AllowDuplicateNames(true))
	d.nodes = make([]node, 0, 64+len(src)/16)
	var stack []frame
	for {
		end := dec.InputOffset()
		token, err := dec.ReadToken()
		if len(d.nodes) > 0 && len(stack) == 0 {
			if errors.Is(err, io.EOF) {
				return nil
			}
			line, col := place(src, len(src)-len(bytes.TrimLeft(src[end:], " \t\r\n")))
			return syntax(fmt.Sprintf("text goes on after the end of the value at line %d, byte %d", line, col))
		}
		if err != nil {
			return syntaxFault(src, err)
		}
		var n node
		switch kind := token.Kind(); kind {
		case '}', ']':
			stack = stack[:len(stack)-1]
			continue
		case '{':
			n.kind = Object
		case '[':
			n.kind = List
		case '"':
			if top := len(stack) - 1; top >= 0 && stack[top].seen != nil && !stack[top].haveKey {
				f := &stack[top]
				if f.key, f.haveKey = token.String(), true; f.seen[f.key] && !d.Full() {
					d.repeated(f.at, f.key)
				}
				f.seen[f.key] = true
				continue
			}
			n.kind, n.text = String, token.String()
		case '0':
			n.kind, n.text = Number, token.String()
		case 't', 'f':
			n.kind, n.text = Bool, token.String()
		default:
			n.kind = Null
		}
		var top *frame
		if len(stack) > 0 {
			top = &stack[len(stack)-1]
		}
		at, l := d.push(top, n)
		if l != nil {
			return l
		}
		if n.kind == List || n.kind == Object {
			if len(stack) == d.limits.Depth {
				return fault.List{{
					Rule: fault.TooLarge, Detail: "lists and objects are nested too deeply",
					Found: fmt.Sprintf("more than %d levels", d.limits.Depth), Allowed: fmt.Sprintf("up to %d levels", d.limits.Depth),
				}}
			}
			f := frame{at: at, last: -1}
			if n.kind == Object {
				f.seen = make(map[string]bool, 8)
			}
			stack = append(stack, f)
		}
	}
}

// push adds a value as the next child of top.
func (d *Doc) push(top *frame, n node) (int32, fault.List) {
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
	if d.Full() {
		return // its place is not put together in vain
	}
	d.Add(fault.Fault{
		Rule: fault.RepeatedKey, Pointer: Value{d, object}.Pointer() + "/" + escape(key),
		Detail:  fmt.Sprintf("the key %s stands twice in one object", quote(key)),
		Allowed: "each key once", Fix: "take one of them out",
	})
}
