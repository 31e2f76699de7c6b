package outline

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	hex3 = regexp.MustCompile(`^#[0-9a-f]{3}$`)
	hex6 = regexp.MustCompile(`^#[0-9a-f]{6}$`)
	rgbs = regexp.MustCompile(`^rgb\(\s*(\d{1,3})\s*,\s*(\d{1,3})\s*,\s*(\d{1,3})\s*\)$`)
	word = regexp.MustCompile(`^[a-z]{3,24}$`)
)

// colourOf brings a colour into one form, "#rrggbb"; a word stays as it is. Not ok for
// none, gradients and what is no colour.
func colourOf(text string) (string, bool) {
	c := strings.ToLower(strings.TrimSpace(text))
	switch {
	case c == "" || c == "none" || c == "transparent" || c == "currentcolor":
		return "", false
	case hex6.MatchString(c), word.MatchString(c):
		return c, true
	case hex3.MatchString(c):
		return "#" + strings.Repeat(c[1:2], 2) + strings.Repeat(c[2:3], 2) + strings.Repeat(c[3:4], 2), true
	}
	if m := rgbs.FindStringSubmatch(c); m != nil {
		var v [3]int
		for i := range v {
			v[i], _ = strconv.Atoi(m[i+1])
			if v[i] > 255 {
				return "", false
			}
		}
		return fmt.Sprintf("#%02x%02x%02x", v[0], v[1], v[2]), true
	}
	return "", false
}
