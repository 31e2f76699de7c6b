package formula

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Formula is one equation, its symbol on the left.
type Formula struct {
	text   string
	symbol string
	right  node
}

// node is a part of a formula.
type node struct {
	kind   kind
	text   string // of a number or symbol, or the name of a function
	number float64
	of     []node
	minus  []bool // of a sum: which terms are taken away
}

type kind int

const (
	number kind = iota
	symbol
	sum
	product
	quotient
	power
	negative
	function
)

// arity is how many arguments a function takes; 0 is any number from one.
var arity = map[string]int{"√": 1, "min": 0, "max": 0, "abs": 1, "ln": 1, "exp": 1, "sin": 1, "cos": 1, "Φ": 1}

// Parse reads an equation "symbol = expression".
func Parse(text string) (*Formula, error) {
	p := &parser{rest: []rune(text)}
	left := p.word()
	if left == "" || !p.take('=') {
		return nil, fmt.Errorf("formula: %q does not begin with a symbol and =", text)
	}
	right, err := p.sum()
	if err == nil && p.peek() != 0 {
		err = fmt.Errorf("%q is left over", string(p.rest))
	}
	if err != nil {
		return nil, fmt.Errorf("formula: %q: %w", text, err)
	}
	return &Formula{text: text, symbol: left, right: right}, nil
}

// Must is Parse for a formula that is part of the program.
func Must(text string) *Formula {
	f, err := Parse(text)
	if err != nil {
		panic(err)
	}
	return f
}

// Symbol is the one on the left.
func (f *Formula) Symbol() string { return f.symbol }

type parser struct {
	rest  []rune
	depth int
}

const deepest = 50 // brackets within brackets

func (p *parser) peek() rune {
	for len(p.rest) > 0 && unicode.IsSpace(p.rest[0]) {
		p.rest = p.rest[1:]
	}
	if len(p.rest) == 0 {
		return 0
	}
	return p.rest[0]
}

func (p *parser) take(r rune) bool {
	if p.peek() != r {
		return false
	}
	p.rest = p.rest[1:]
	return true
}

// word takes a symbol, "" where none stands.
func (p *parser) word() string {
	if r := p.peek(); !unicode.IsLetter(r) {
		return ""
	}
	n := 0
	for n < len(p.rest) && (unicode.IsLetter(p.rest[n]) || unicode.IsDigit(p.rest[n]) || p.rest[n] == '_' || p.rest[n] == '′') {
		n++
	}
	w := string(p.rest[:n])
	p.rest = p.rest[n:]
	return w
}

func (p *parser) sum() (node, error) {
	p.depth++
	defer func() { p.depth-- }()
	if p.depth > deepest {
		return node{}, fmt.Errorf("brackets are nested too deep")
	}
	n := node{kind: sum}
	minus := p.take('−')
	for {
		t, err := p.product()
		if err != nil {
			return n, err
		}
		n.of, n.minus = append(n.of, t), append(n.minus, minus)
		switch {
		case p.take('+'):
			minus = false
		case p.take('−'):
			minus = true
		case len(n.of) == 1 && n.minus[0]:
			return node{kind: negative, of: n.of}, nil
		case len(n.of) == 1:
			return n.of[0], nil
		default:
			return n, nil
		}
	}
}

func (p *parser) product() (node, error) {
	n, err := p.power()
	for err == nil {
		var next node
		switch {
		case p.take('·'):
			if next, err = p.power(); n.kind == product {
				n.of = append(n.of, next)
			} else {
				n = node{kind: product, of: []node{n, next}}
			}
		case p.take('/'):
			next, err = p.power()
			n = node{kind: quotient, of: []node{n, next}}
		default:
			return n, nil
		}
	}
	return n, err
}

func (p *parser) power() (node, error) {
	base, err := p.atom()
	if err != nil || !p.take('^') {
		return base, err
	}
	up, err := p.atom()
	return node{kind: power, of: []node{base, up}}, err
}

func (p *parser) atom() (node, error) {
	r := p.peek()
	switch {
	case r == 0:
		return node{}, fmt.Errorf("it ends too soon")
	case p.take('('):
		return p.closed(p.sum())
	case p.take('√'):
		return p.call("√")
	case unicode.IsDigit(r):
		n := 0
		for n < len(p.rest) && (unicode.IsDigit(p.rest[n]) || p.rest[n] == '.') {
			n++
		}
		text := string(p.rest[:n])
		p.rest = p.rest[n:]
		v, err := strconv.ParseFloat(text, 64)
		return node{kind: number, text: text, number: v}, err
	}
	w := p.word()
	if w == "" {
		return node{}, fmt.Errorf("%q is no part of a formula", string(r))
	}
	if _, ok := arity[w]; ok {
		return p.call(w)
	}
	return node{kind: symbol, text: w}, nil
}

func (p *parser) closed(n node, err error) (node, error) {
	if err == nil && !p.take(')') {
		err = fmt.Errorf("a bracket is not closed")
	}
	return n, err
}

func (p *parser) call(name string) (node, error) {
	n := node{kind: function, text: name}
	if !p.take('(') {
		return n, fmt.Errorf("%s needs a bracket", name)
	}
	for {
		a, err := p.sum()
		if err != nil {
			return n, err
		}
		n.of = append(n.of, a)
		if !p.take(',') {
			break
		}
	}
	if most := arity[name]; most > 0 && len(n.of) != most {
		return n, fmt.Errorf("%s takes %d, not %d", name, most, len(n.of))
	}
	return p.closed(n, nil)
}

// parts of a symbol: what stands before and behind its first underscore.
func parts(s string) (base, index string) {
	base, index, _ = strings.Cut(s, "_")
	return base, index
}
