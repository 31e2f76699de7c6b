package draw

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// ellipsis ends a text that was cut.
const ellipsis = "…"

// textWidth estimates the width of a line in a common sans-serif face.
func textWidth(s string, size float64) float64 {
	em := 0.0
	for _, r := range s {
		em += runeWidth(r)
	}
	return em * size
}

// runeWidth is a letter's width in em, a little wider than in common faces.
func runeWidth(r rune) float64 {
	switch {
	case unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Cf, r):
		return 0
	case strings.ContainsRune("iljI.,:;'|! \u00a0", r):
		return 0.29
	case strings.ContainsRune("tfr()[]/-", r):
		return 0.37
	case strings.ContainsRune("mwMW@%—", r):
		return 0.88
	case strings.ContainsRune("ckszxvy", r):
		return 0.53
	case r >= 'A' && r <= 'Z':
		return 0.7
	case r < 0x300:
		return 0.58
	case r < 0x1100:
		return 0.565
	case r >= 0x2000 && r <= 0x206F:
		return 0.6
	default:
		return 1.05 // ideographs and pictographs stand in a square
	}
}

// wrap breaks a text into at most lines lines no wider than width, at spaces
// where it can and inside a word where it must; what does not fit ends in an
// ellipsis. An empty text gives no lines.
func wrap(s string, size, width float64, lines int) []string {
	var out []string
	line := ""
	words := words(s)
	for i := 0; i < len(words); i++ {
		next := words[i]
		if line != "" {
			next = line + " " + words[i]
		}
		if textWidth(next, size) <= width {
			line = next
			continue
		}
		if len(out) == lines-1 {
			return append(out, cut(next+" "+strings.Join(words[i+1:], " "), size, width))
		}
		if line != "" {
			out = append(out, line)
			line = ""
			i-- // the word that did not fit opens the next line
			continue
		}
		head, tail := split(words[i], size, width)
		out = append(out, head)
		words[i] = tail
		i--
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// words divides a text at its spaces; a no-break space holds words together,
// and a unit stays with the figure before it.
func words(s string) []string {
	all := strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) && r != 0xA0 && r != 0x202F })
	var out []string
	for _, w := range all {
		if n := len(out); n > 0 && isUnit(strings.TrimRight(w, ".,;:")) && endsInDigit(out[n-1]) {
			out[n-1] += "\u00a0" + w
			continue
		}
		out = append(out, w)
	}
	return out
}

func isUnit(w string) bool {
	switch w {
	case "%", "mm", "in", "MPa", "°C":
		return true
	}
	return false
}

func endsInDigit(w string) bool { return w[len(w)-1] >= '0' && w[len(w)-1] <= '9' }

// split divides a word that is wider than a line.
func split(word string, size, width float64) (head, tail string) {
	em := 0.0
	for i, r := range word {
		em += runeWidth(r)
		if em*size > width && i > 0 {
			return word[:i], word[i:]
		}
	}
	return word, ""
}

// cut shortens a line to width, with an ellipsis where anything was lost.
func cut(s string, size, width float64) string {
	s = strings.TrimSpace(s)
	if textWidth(s, size) <= width {
		return s
	}
	head, _ := split(s, size, width-textWidth(ellipsis, size))
	return strings.TrimSpace(head) + ellipsis
}

// brief keeps a text for a screen reader to a length that can be listened to.
func brief(s string) string {
	runes := []rune(strings.Join(strings.Fields(s), " "))
	if len(runes) > 300 {
		return string(runes[:300]) + ellipsis
	}
	return string(runes)
}

// inches writes a length in mm as inches with a fraction to 1/16.
func inches(mm float64) string {
	n := int(math.Round(math.Abs(mm) / 25.4 * 16))
	sign := ""
	if mm < 0 && n > 0 {
		sign = "−"
	}
	whole, part := n/16, n%16
	den := 16
	for part > 0 && part%2 == 0 {
		part, den = part/2, den/2
	}
	switch {
	case part == 0:
		return sign + strconv.Itoa(whole)
	case whole == 0:
		return sign + strconv.Itoa(part) + "/" + strconv.Itoa(den)
	}
	return sign + strconv.Itoa(whole) + " " + strconv.Itoa(part) + "/" + strconv.Itoa(den)
}

// length writes a board length without its unit.
func length(mm float64, inch bool) string {
	if inch {
		return inches(mm)
	}
	return sig(math.Round(mm*10)/10, 5)
}

func unitOf(inch bool) string {
	if inch {
		return "in"
	}
	return "mm"
}
