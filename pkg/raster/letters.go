package raster

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// faces are the fonts in use.
var faces = sync.OnceValues(func() (f struct{ regular, bold, italic *sfnt.Font }, err error) {
	for _, one := range []struct {
		into **sfnt.Font
		ttf  []byte
	}{{&f.regular, goregular.TTF}, {&f.bold, gobold.TTF}, {&f.italic, goitalic.TTF}} {
		if *one.into, err = sfnt.Parse(one.ttf); err != nil {
			return f, err
		}
	}
	return f, nil
})

// outlines copies a picture with every text made a path of its letters. Titles,
// descriptions and styles, which nobody sees on a PNG, are left out, and so is what
// moves.
func outlines(ctx context.Context, svg []byte) ([]byte, error) {
	var out bytes.Buffer
	to := xml.NewEncoder(&out)
	from := xml.NewDecoder(bytes.NewReader(svg))
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		tok, err := from.Token()
		if err == io.EOF {
			if err := to.Flush(); err != nil {
				return nil, err
			}
			return out.Bytes(), nil
		}
		if err != nil {
			return nil, err
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "title", "desc", "style", "animate":
				if err := from.Skip(); err != nil {
					return nil, err
				}
				continue
			case "text":
				var content struct {
					Text string `xml:",chardata"`
				}
				if err := from.DecodeElement(&content, &e); err != nil {
					return nil, err
				}
				if err := letters(to, e.Attr, content.Text); err != nil {
					return nil, err
				}
				continue
			}
			e.Name.Space = ""
			e.Attr = slices.DeleteFunc(slices.Clone(e.Attr), func(a xml.Attr) bool { return strings.HasPrefix(a.Name.Local, "data-") })
			for i := range e.Attr {
				e.Attr[i].Name.Space = ""
			}
			tok = e
		case xml.EndElement:
			e.Name.Space = ""
			tok = e
		case xml.CharData:
			continue // only texts hold any
		case xml.ProcInst, xml.Directive, xml.Comment:
			continue
		}
		if err := to.EncodeToken(tok); err != nil {
			return nil, err
		}
	}
}

// letters writes a text as the path of its letters: a halo first, where it has one,
// then the letters.
func letters(to *xml.Encoder, attrs []xml.Attr, text string) error {
	fonts, err := faces()
	if err != nil {
		return err
	}
	get := func(name string) string {
		for _, a := range attrs {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	number := func(name string, otherwise float64) float64 {
		if v, err := strconv.ParseFloat(get(name), 64); err == nil {
			return v
		}
		return otherwise
	}
	font := fonts.regular
	switch weight := get("font-weight"); {
	case get("font-style") == "italic":
		font = fonts.italic
	case weight == "bold" || weight >= "600" && len(weight) == 3:
		font = fonts.bold
	}
	d, width, err := glyphs(font, text, number("font-size", 16))
	if err != nil || d == "" {
		return err
	}
	x := number("x", 0)
	switch get("text-anchor") {
	case "middle":
		x -= width / 2
	case "end":
		x -= width
	}
	move := "translate(" + tenth(x) + " " + tenth(number("y", 0)) + ")"
	if t := get("transform"); t != "" {
		move = t + " " + move
	}
	layer := func(own ...xml.Attr) error {
		e := xml.StartElement{Name: xml.Name{Local: "path"}, Attr: append(own, xml.Attr{Name: xml.Name{Local: "d"}, Value: d}, xml.Attr{Name: xml.Name{Local: "transform"}, Value: move})}
		if err := to.EncodeToken(e); err != nil {
			return err
		}
		return to.EncodeToken(e.End())
	}
	attr := func(name, value string) xml.Attr { return xml.Attr{Name: xml.Name{Local: name}, Value: value} }
	if stroke := get("stroke"); stroke != "" && stroke != "none" {
		if err := layer(attr("fill", "none"), attr("stroke", stroke), attr("stroke-width", tenth(number("stroke-width", 1))), attr("stroke-linejoin", "round")); err != nil {
			return err
		}
	}
	paint := []xml.Attr{attr("stroke", "none")}
	for _, name := range []string{"fill", "fill-opacity", "opacity"} {
		if v := get(name); v != "" {
			paint = append(paint, attr(name, v))
		}
	}
	return layer(paint...)
}

func tenth(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

// glyphs is the path of a text that starts at the origin, y down, and its width.
func glyphs(font *sfnt.Font, text string, size float64) (d string, width float64, err error) {
	var b sfnt.Buffer
	var path strings.Builder
	ppem := fixed.I(int(font.UnitsPerEm()))
	scale := size / float64(font.UnitsPerEm())
	at := func(p fixed.Point26_6) string {
		return tenth(width+scale*float64(p.X)/64) + " " + tenth(scale*float64(p.Y)/64)
	}
	for _, r := range strings.TrimSpace(text) {
		g, err := font.GlyphIndex(&b, r)
		if err != nil {
			return "", 0, err
		}
		segments, err := font.LoadGlyph(&b, g, ppem, nil)
		if err != nil {
			return "", 0, err
		}
		for i, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if i > 0 {
					path.WriteByte('z')
				}
				path.WriteString("M" + at(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				path.WriteString("L" + at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				path.WriteString("Q" + at(s.Args[0]) + " " + at(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				path.WriteString("C" + at(s.Args[0]) + " " + at(s.Args[1]) + " " + at(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			path.WriteByte('z')
		}
		advance, err := font.GlyphAdvance(&b, g, ppem, 0)
		if err != nil {
			return "", 0, err
		}
		width += scale * float64(advance) / 64
	}
	return path.String(), width, nil
}
