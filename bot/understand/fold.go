package understand

import (
	"strings"
	"unicode"

	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"
)

// looks are characters that people's keyboards put where a plain one is meant.
var looks = strings.NewReplacer(
	"’", "'", "‘", "'", "′", "'", "`", "'", "´", "'", "“", `"`, "”", `"`, "″", `"`,
	"–", "-", "—", "-", "−", "-", "½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ", "º", "°", "×", "x",
	"\u00a0", " ", "\u202f", " ", "ß", "ss", "æ", "ae", "ø", "o", "œ", "oe",
)

// fold writes text the way the word lists have it: lower case, no accents, plain
// quotes and dashes, fractions spelt out.
func fold(text string) string {
	if isPlain(text) {
		return strings.ToLower(text)
	}
	text = looks.Replace(text)
	t := transform.Chain(norm.NFKD, runes.Remove(runes.In(unicode.Mn)))
	folded, _, err := transform.String(t, text)
	if err != nil {
		folded = text
	}
	return strings.ToLower(folded)
}

// isPlain is true for text that is all ASCII: it needs no folding but case.
func isPlain(text string) bool {
	for i := range len(text) {
		if text[i] >= 0x80 {
			return false
		}
	}
	return true
}
