package understand

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// looks are characters that people's keyboards put where a plain one is meant.
var looks = map[rune]string{
	'’': "'", '‘': "'", '′': "'", '`': "'", '´': "'", '“': `"`, '”': `"`, '″': `"`,
	'–': "-", '—': "-", '−': "-", '½': " 1/2 ", '¼': " 1/4 ", '¾': " 3/4 ", 'º': "°", '×': "x",
	'\u00a0': " ", '\u202f': " ", 'ß': "ss", 'æ': "ae", 'ø': "o", 'œ': "oe",
	'Æ': "ae", 'Ø': "o", 'Œ': "oe",
}

// fold writes text the way the word lists have it: lower case, no accents, plain
// quotes and dashes, fractions spelt out.
func fold(text string) string {
	if isPlain(text) {
		return strings.ToLower(text)
	}
	return foldPlaced(text).text
}

// folded is text in the form of the word lists, with where each of its bytes came from.
type folded struct {
	text string
	// at is the byte of the original for each byte of text, and one more for its end;
	// nil where the two are the same.
	at []int
}

// foldPlaced folds text and remembers places, so that words can be shown as typed.
func foldPlaced(text string) folded {
	if isPlain(text) {
		return folded{text: strings.ToLower(text)}
	}
	out := make([]byte, 0, len(text))
	at := make([]int, 0, len(text)+1)
	for i, r := range text {
		for _, c := range []byte(foldRune(r)) {
			out, at = append(out, c), append(at, i)
		}
	}
	return folded{string(out), append(at, len(text))}
}

// foldRune folds one character.
func foldRune(r rune) string {
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

// original is the piece of the typed text that stands at from to to of the folded one.
func (f folded) original(text string, from, to int) string {
	if f.at == nil {
		return text[from:to]
	}
	last := f.at[to-1]
	_, n := utf8.DecodeRuneInString(text[last:])
	return text[f.at[from] : last+n]
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
