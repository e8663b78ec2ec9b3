package understand

import (
	"strings"
	"unicode/utf8"

	"deepward/advisor"
)

// fold writes text the way the word lists have it.
func fold(text string) string { return advisor.Fold(text) }

// folded is text in the form of the word lists, with where each of its bytes came from.
type folded struct {
	text string
	// at is the byte of the original for each byte of text, and one more for its end;
	// nil where the two are the same.
	at []int
}

// foldPlaced folds text and remembers places, so that words can be shown as typed.
func foldPlaced(text string) folded {
	if plain := strings.ToLower(text); plain == advisor.Fold(text) && len(plain) == len(text) {
		return folded{text: plain}
	}
	out := make([]byte, 0, len(text))
	at := make([]int, 0, len(text)+1)
	for i, r := range text {
		for _, c := range []byte(advisor.FoldRune(r)) {
			out, at = append(out, c), append(at, i)
		}
	}
	return folded{string(out), append(at, len(text))}
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

// Plain is a text small and without accents, a blank between its words, figures and marks.
func Plain(text string) string { return strings.Join(wordsOf(text), " ") }
