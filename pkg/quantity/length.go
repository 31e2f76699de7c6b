package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
)

// MillimetresPerInch is exact by definition (1959).
const MillimetresPerInch = 25.4

// Unit is a unit of length a text may be written in.
type Unit string

// The units of length that are read.
const (
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Inch       Unit = "in"
)

// perUnit is the length of each unit in mm.
var perUnit = map[Unit]float64{Millimetre: 1, Centimetre: 10, Inch: MillimetresPerInch}

// suffixes are tried in this order; longer spellings before their own endings.
var suffixes = []struct {
	text string
	unit Unit
}{
	{"millimetres", Millimetre}, {"millimeters", Millimetre}, {"mm", Millimetre},
	{"cm", Centimetre},
	{"inches", Inch}, {"inch", Inch}, {"in.", Inch}, {"in", Inch}, {"\"", Inch}, {"″", Inch}, {"”", Inch},
}

// glyphs are the single-character fractions keyboards and word processors make.
var glyphs = strings.NewReplacer(
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⁄", "/", "–", "-",
)

const lengthForms = `a number such as 40, 9.15, 3/4, 1 3/8 or 1-3/8, with mm, cm or in after it`

// maxText bounds the text of one length; no maker's size needs more.
const maxText = 64

// ParseLength reads one length and returns it in mm. A text without a unit is
// taken in the unit given. It accepts decimals ("9.15"), fractions ("3/4"),
// mixed numbers ("1 3/8", "1-3/8") and a unit after the number ("9 5/32 in",
// `3/4"`, "12 mm"). A minus sign in front makes the whole length negative.
// Errors are a fault.List of one: wrong-type for text that is no length,
// out-of-range for one that is not finite.
func ParseLength(text string, unit Unit) (float64, error) {
	v, in, err := parse(text, unit)
	if err != nil {
		return 0, err
	}
	mm := v * perUnit[in]
	if math.IsInf(mm, 0) || math.IsNaN(mm) {
		return 0, bad(fault.OutOfRange, "length is not finite", text)
	}
	return mm, nil
}

// LengthIn reads one length as ParseLength does and returns it in the unit given
// (mm, cm or in), without rounding when the text is in that unit.
func LengthIn(text string, unit Unit) (float64, error) {
	v, in, err := parse(text, unit)
	if err != nil {
		return 0, err
	}
	if in != unit {
		v *= perUnit[in] / perUnit[unit]
	}
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, bad(fault.OutOfRange, "length is not finite", text)
	}
	return v, nil
}

// BareFraction reports that a length is written as a fraction without a unit:
// nobody has a rule with fractions of a millimetre.
func BareFraction(text string) bool {
	s := strings.TrimSpace(strings.ToLower(text))
	for _, x := range suffixes {
		if strings.HasSuffix(s, x.text) {
			return false
		}
	}
	return strings.Contains(glyphs.Replace(s), "/")
}

func bad(rule fault.Rule, detail, text string) error {
	return fault.List{{Rule: rule, Detail: detail, Found: clip(text), Allowed: lengthForms}}
}

// parse reads a number and the unit it is in.
func parse(text string, unit Unit) (v float64, in Unit, err error) {
	if _, ok := perUnit[unit]; !ok {
		return 0, "", fault.List{{Rule: fault.NotOneOf, Detail: "unknown unit of length", Found: string(unit), Allowed: "mm, cm, in"}}
	}
	if len(text) > maxText {
		return 0, "", bad(fault.TooLarge, "text of a length is too long", text)
	}
	s := strings.TrimSpace(strings.ToLower(text))
	for _, x := range suffixes {
		if rest, ok := strings.CutSuffix(s, x.text); ok {
			s, unit = strings.TrimSpace(rest), x.unit
			break
		}
	}
	v, ok := number(strings.TrimSpace(glyphs.Replace(s)))
	if !ok {
		return 0, "", bad(fault.WrongType, "not a length", text)
	}
	return v, unit, nil
}

// number reads "9.15", "3/4", "1 3/8" or "1-3/8".
func number(s string) (float64, bool) {
	sign := 1.0
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		s, sign = strings.TrimSpace(rest), -1
	}
	slash := strings.IndexByte(s, '/')
	if slash < 0 {
		v, ok := decimal(s)
		return sign * v, ok
	}
	den, ok := whole(strings.TrimSpace(s[slash+1:]))
	if !ok || den == 0 {
		return 0, false
	}
	head := strings.TrimSpace(s[:slash])
	lead := 0.0
	if cut := strings.LastIndexAny(head, " -"); cut >= 0 {
		// "1 - 3/8" has blanks round its hyphen; both ways of writing come down to one whole number in front
		if lead, ok = whole(strings.TrimRight(head[:cut], " -")); !ok {
			return 0, false
		}
		head = head[cut+1:]
	}
	num, ok := whole(head)
	if !ok {
		return 0, false
	}
	return sign * (lead + num/den), true
}

// whole reads digits only; signs, points and exponents have no place in a fraction.
func whole(s string) (float64, bool) {
	if s == "" || len(s) > 9 || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// decimal reads digits with at most one point. strconv alone would also take
// "inf", "nan", "0x1p4" and "1_000".
func decimal(s string) (float64, bool) {
	if s == "" || strings.Trim(s, "0123456789.") != "" || strings.Trim(s, ".") == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// Inches converts mm to inches, decimal.
func Inches(mm float64) float64 { return mm / MillimetresPerInch }

// FormatInches writes a length given in mm as inches with the nearest binary
// fraction down to 1/64, reduced: "9 7/32 in", "1/16 in", "-3/64 in", "0 in".
// The rounding error is at most 1/128 in (0.2 mm). A length that is not finite
// gives "not finite".
func FormatInches(mm float64) string {
	if math.IsNaN(mm) || math.IsInf(mm, 0) {
		return "not finite"
	}
	n := math.Round(math.Abs(mm) / MillimetresPerInch * 64)
	sign := ""
	if mm < 0 && n > 0 {
		sign = "-"
	}
	if n > 1<<52 { // beyond exact integers a fraction has no meaning
		return fmt.Sprintf("%.6g in", Inches(mm))
	}
	lead, num, den := int64(n)/64, int64(n)%64, int64(64)
	for num > 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return fmt.Sprintf("%s%d in", sign, lead)
	case lead == 0:
		return fmt.Sprintf("%s%d/%d in", sign, num, den)
	}
	return fmt.Sprintf("%s%d %d/%d in", sign, lead, num, den)
}

// clip keeps a hostile text from filling an error.
func clip(s string) string {
	if len(s) <= maxText {
		return s
	}
	return strings.ToValidUTF8(s[:maxText], "") + "…"
}
