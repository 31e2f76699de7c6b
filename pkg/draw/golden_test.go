package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the pictures of testdata/golden/svg anew")

// node is an element as it counts for a comparison.
type node struct {
	name  string
	attrs map[string]string
	text  string
}

func (n node) String() string {
	var keys []string
	for k := range n.attrs {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	s := n.name
	for _, k := range keys {
		s += " " + k + "=" + n.attrs[k]
	}
	return s + " " + n.text
}

// nodes reads a picture strictly; it fails on anything that is not well-formed.
func nodes(t *testing.T, svg []byte) []node {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	d.Strict = true
	var out []node
	var open []int
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch v := tok.(type) {
		case xml.StartElement:
			n := node{name: v.Name.Local, attrs: map[string]string{}}
			for _, a := range v.Attr {
				_, twice := n.attrs[a.Name.Local]
				require.False(t, twice, "attribute %s stands twice on %s", a.Name.Local, n.name)
				n.attrs[a.Name.Local] = a.Value
			}
			open = append(open, len(out))
			out = append(out, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				out[open[len(open)-1]].text += strings.TrimSpace(string(v))
			}
		}
	}
	require.Empty(t, open)
	require.NotEmpty(t, out)
	require.Equal(t, "svg", out[0].name)
	return out
}

var figure = regexp.MustCompile(`-?\d+(\.\d+)?`)

// sameText compares two texts, letting numbers differ by 0.11: coordinates are
// written to a tenth, and another processor may round the last place the other way.
func sameText(a, b string) bool {
	if a == b {
		return true
	}
	if figure.ReplaceAllString(a, "#") != figure.ReplaceAllString(b, "#") {
		return false
	}
	p, q := figure.FindAllString(a, -1), figure.FindAllString(b, -1)
	for i := range p {
		x, _ := strconv.ParseFloat(p[i], 64)
		y, _ := strconv.ParseFloat(q[i], 64)
		if x-y > 0.11 || y-x > 0.11 {
			return false
		}
	}
	return true
}

// golden compares a picture by content with the one kept.
func golden(t *testing.T, name string, svg []byte) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "golden", "svg", name+".svg")
	if *update {
		require.NoError(t, os.WriteFile(path, svg, 0o644))
	}
	kept, err := os.ReadFile(path)
	require.NoError(t, err, "run with -update to write it")
	want, got := nodes(t, kept), nodes(t, svg)
	require.Len(t, got, len(want), "%s: another number of elements", name)
	for i := range want {
		if !sameText(want[i].String(), got[i].String()) {
			require.Fail(t, fmt.Sprintf("%s, element %d", name, i), "want %s\ngot  %s", want[i], got[i])
		}
	}
}

// find gives the elements that carry an attribute.
func find(ns []node, attr string) []node {
	var out []node
	for _, n := range ns {
		if _, ok := n.attrs[attr]; ok {
			out = append(out, n)
		}
	}
	return out
}

// texts gives all that can be read in a picture.
func texts(ns []node) string {
	var s []string
	for _, n := range ns {
		if n.name == "text" {
			s = append(s, n.text)
		}
	}
	return strings.Join(s, "\n")
}

func TestGoldenComparisonCanFail(t *testing.T) {
	require.True(t, sameText("M10 20.5", "M10.1 20.4"))
	require.False(t, sameText("M10 20.5", "M10.2 20.5"))
	require.False(t, sameText("M10 20.5", "L10 20.5"))
	require.False(t, sameText("fill=#aabbcc", "fill=#aabbcd"))
}
