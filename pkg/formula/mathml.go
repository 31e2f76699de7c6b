package formula

import (
	"html"
	"strings"
)

// MathML writes the equation as presentation MathML.
func (f *Formula) MathML() string {
	var b strings.Builder
	b.WriteString(`<math xmlns="http://www.w3.org/1998/Math/MathML"><mrow>`)
	writeSymbol(&b, f.symbol)
	b.WriteString("<mo>=</mo>")
	f.right.write(&b, 0)
	b.WriteString("</mrow></math>")
	return b.String()
}

// How tightly a part holds together; one that holds less than its place asks for
// stands in brackets.
const (
	asSum = iota
	asProduct
	asPower
	asWhole
)

func (n *node) holds() int {
	switch n.kind {
	case sum, negative:
		return asSum
	case product:
		return asProduct
	case power:
		return asPower
	}
	return asWhole // a fraction line and a root hold all together
}

func (n *node) write(b *strings.Builder, least int) {
	if n.holds() < least {
		b.WriteString("<mrow><mo>(</mo>")
		n.write(b, 0)
		b.WriteString("<mo>)</mo></mrow>")
		return
	}
	switch n.kind {
	case number:
		b.WriteString("<mn>" + n.text + "</mn>")
	case symbol:
		writeSymbol(b, n.text)
	case sum:
		b.WriteString("<mrow>")
		for i := range n.of {
			switch {
			case n.minus[i]:
				b.WriteString("<mo>−</mo>")
			case i > 0:
				b.WriteString("<mo>+</mo>")
			}
			n.of[i].write(b, asProduct)
		}
		b.WriteString("</mrow>")
	case negative:
		b.WriteString("<mrow><mo>−</mo>")
		n.of[0].write(b, asProduct)
		b.WriteString("</mrow>")
	case product:
		b.WriteString("<mrow>")
		for i := range n.of {
			if i > 0 {
				b.WriteString("<mo>·</mo>")
			}
			n.of[i].write(b, asProduct)
		}
		b.WriteString("</mrow>")
	case quotient:
		n.pair(b, "mfrac", 0)
	case power:
		n.pair(b, "msup", asWhole)
	case function:
		n.call(b)
	}
}

func (n *node) pair(b *strings.Builder, name string, least int) {
	b.WriteString("<" + name + ">")
	n.of[0].write(b, least)
	n.of[1].write(b, 0)
	b.WriteString("</" + name + ">")
}

func (n *node) call(b *strings.Builder) {
	if n.text == "√" {
		b.WriteString("<msqrt>")
		n.of[0].write(b, 0)
		b.WriteString("</msqrt>")
		return
	}
	open, shut := "<mi>"+n.text+"</mi><mo>(</mo>", "<mo>)</mo>"
	if n.text == "abs" {
		open, shut = "<mo>|</mo>", "<mo>|</mo>"
	}
	b.WriteString("<mrow>" + open)
	for i := range n.of {
		if i > 0 {
			b.WriteString("<mo>,</mo>")
		}
		n.of[i].write(b, 0)
	}
	b.WriteString(shut + "</mrow>")
}

func writeSymbol(b *strings.Builder, s string) {
	base, index := parts(s)
	if index == "" {
		b.WriteString("<mi>" + html.EscapeString(base) + "</mi>")
		return
	}
	b.WriteString("<msub><mi>" + html.EscapeString(base) + "</mi><mi>" + html.EscapeString(index) + "</mi></msub>")
}
