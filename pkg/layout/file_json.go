package layout

import (
	"bytes"
	"encoding/json"

	"github.com/tanrad/tanrad/pkg/moisture"
)

// version is the only one there is.
const version = 1

// lineLength is how long a list or object may be that is written in one line.
const lineLength = 110

// JSON writes the file. Equal files give equal bytes, and what Parse reads from
// them is the same file: keys stand in a fixed order, named things by name,
// lengths in the file's units, numbers in their shortest form. A File that holds
// a number that is not finite, which Board would refuse, gives nil.
func (f *File) JSON() []byte {
	text, err := plain(struct {
		Version int `json:"tanrad"`
		*File
	}{version, f})
	if err != nil {
		return nil
	}
	w := &layouter{text: text}
	w.value("")
	w.out.WriteByte('\n')
	return w.out.Bytes()
}

// layouter spreads compact JSON over lines: what is short stays in one line.
type layouter struct {
	text []byte
	at   int
	out  bytes.Buffer
}

func (w *layouter) value(indent string) {
	end := w.end()
	body := w.text[w.at:end]
	if c := body[0]; c != '{' && c != '[' || len(body)+len(indent) <= lineLength && indent != "" {
		w.out.Write(spaced(body))
		w.at = end
		return
	}
	object, in := body[0] == '{', indent+"  "
	w.out.WriteByte(body[0])
	for w.at++; w.at < end-1; {
		if w.text[w.at] == ',' {
			w.out.WriteByte(',')
			w.at++
		}
		w.out.WriteString("\n" + in)
		if object {
			key := w.end()
			w.out.Write(w.text[w.at:key])
			w.out.WriteString(": ")
			w.at = key + 1
		}
		w.value(in)
	}
	w.out.WriteString("\n" + indent)
	w.out.WriteByte(body[len(body)-1])
	w.at = end
}

// end is the place behind the value that begins here.
func (w *layouter) end() int {
	depth, quoted := 0, false
	for i := w.at; i < len(w.text); i++ {
		switch c := w.text[i]; {
		case quoted && c == '\\':
			i++
			continue
		case c == '"':
			quoted = !quoted
		case quoted:
			continue
		case c == '[' || c == '{':
			depth++
			continue
		case c == ']' || c == '}':
			if depth == 0 {
				return i
			}
			depth--
		case (c == ',' || c == ':') && depth == 0:
			return i
		default:
			continue
		}
		if depth == 0 && !quoted {
			return i + 1
		}
	}
	return len(w.text)
}

// spaced puts a blank behind the commas and colons of compact JSON.
func spaced(body []byte) []byte {
	out := make([]byte, 0, len(body)+len(body)/8)
	quoted := false
	for i := 0; i < len(body); i++ {
		c := body[i]
		out = append(out, c)
		switch {
		case quoted && c == '\\':
			i++
			out = append(out, body[i])
		case c == '"':
			quoted = !quoted
		case !quoted && (c == ',' || c == ':'):
			out = append(out, ' ')
		}
	}
	return out
}

// plain is json.Marshal that leaves <, > and & as they are.
func plain(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(out.Bytes()), err
}

// MarshalJSON writes degrees or "unknown".
func (r Ring) MarshalJSON() ([]byte, error) {
	if r.Unknown {
		return []byte(`"unknown"`), nil
	}
	return plain(r.Angle)
}

// MarshalJSON writes a word or degrees.
func (g Fibres) MarshalJSON() ([]byte, error) {
	if g.Angle != nil {
		return plain(*g.Angle)
	}
	return plain(g.Word)
}

// MarshalJSON writes a text or a list of keys.
func (r Row) MarshalJSON() ([]byte, error) {
	if r.Keys != nil {
		return plain(r.Keys)
	}
	return plain(r.Text)
}

// MarshalJSON writes a number or a list of lengths.
func (s Stagger) MarshalJSON() ([]byte, error) {
	if s.Shift != nil {
		return plain(s.Shift)
	}
	return plain(s.Part)
}

// MarshalJSON writes stock, width and, where it has one, ring angle as a list.
func (s Strip) MarshalJSON() ([]byte, error) {
	list := []any{s.Stock, s.Width}
	if s.Ring != nil {
		list = append(list, s.Ring)
	}
	return plain(list)
}

// IsZero reports that no home was given.
func (h Home) IsZero() bool { return h.Name == "" && h.Months == nil }

// MarshalJSON writes the name of a climate, or the months.
func (h Home) MarshalJSON() ([]byte, error) {
	if h.Name != "" {
		return plain(h.Name)
	}
	return plain(struct {
		Months []moisture.Room `json:"months"`
	}{h.Months})
}
