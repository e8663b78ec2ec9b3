package terminal

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks lines between words so that none is wider than so many characters; a
// longer word stands alone. A width of 0 leaves the text as it is.
func Wrap(text string, width int) string {
	if width <= 0 {
		return text
	}
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		out = append(out, wrapLine(line, width)...)
	}
	return strings.Join(out, "\n")
}

// wrapLine breaks at plain spaces only: a no-break space is there to hold.
func wrapLine(line string, width int) (list []string) {
	now := ""
	for i, word := range strings.Split(line, " ") {
		switch {
		case i == 0:
			now = word
		case utf8.RuneCountInString(now)+1+utf8.RuneCountInString(word) > width:
			list, now = append(list, now), word
		default:
			now += " " + word
		}
	}
	return append(list, now)
}
