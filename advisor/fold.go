package advisor

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// looks are characters that people's keyboards put where a plain one is meant.
var looks = map[rune]string{
	'’': "'", '‘': "'", '′': "'", '`': "'", '´': "'", '“': `"`, '”': `"`, '″': `"`,
	'–': "-", '—': "-", '−': "-", '½': " 1/2 ", '¼': " 1/4 ", '¾': " 3/4 ", 'º': "°", '×': "x", '№': "#",
	'\u00a0': " ", '\u202f': " ", 'ß': "ss", 'æ': "ae", 'ø': "o", 'œ': "oe",
	'Æ': "ae", 'Ø': "o", 'Œ': "oe",
}

// Fold writes text the way all lists of words have it, in chats and in tables: lower case,
// no accents, plain quotes and dashes, fractions spelt out.
func Fold(text string) string {
	if isPlain(text) {
		return strings.ToLower(text)
	}
	var b strings.Builder
	for _, r := range text {
		b.WriteString(FoldRune(r))
	}
	return b.String()
}

// FoldRune folds one character.
func FoldRune(r rune) string {
	if r < 0x80 {
		return string(unicode.ToLower(r))
	}
	if plain, ok := looks[r]; ok {
		return plain
	}
	var b strings.Builder
	for _, part := range norm.NFKD.String(string(r)) {
		if !unicode.Is(unicode.Mn, part) {
			b.WriteRune(unicode.ToLower(part))
		}
	}
	return b.String()
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
