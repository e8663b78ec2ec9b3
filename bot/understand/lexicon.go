package understand

import (
	"slices"
	"strings"
	"sync"

	"deepward/bot/understand/learned"
)

// lexicon is what the word lists, the units and the names of fish tell the learned
// reader of words.
var lexicon = sync.OnceValue(newLexicon)

func newLexicon() *learned.Lexicon {
	b := lexiconBuilder{ids: map[string]int{}, lexicon: &learned.Lexicon{Phrases: map[string][]int{}, Names: nameMark}}
	for _, row := range mustRows(wordsCSV()) {
		b.phrase(row[2], row[1])
	}
	for _, row := range mustRows(commandsCSV) {
		if row[4] != aloneOnly {
			b.phrase(row[1], "verb:"+row[2])
		}
	}
	for _, row := range mustRows(unitsCSV) {
		b.phrase(row[0], "unit:"+row[1])
	}
	for _, row := range mustRows(numbersCSV) {
		b.phrase(row[1], "number")
	}
	for _, row := range mustRows(monthsCSV) {
		b.phrase(row[1], "month")
	}
	return b.lexicon
}

// lexiconBuilder gives each concept a number in the order of the lists.
type lexiconBuilder struct {
	ids     map[string]int
	lexicon *learned.Lexicon
}

func (b lexiconBuilder) phrase(text, concept string) {
	id, ok := b.ids[concept]
	if !ok {
		id = len(b.lexicon.Concepts)
		b.ids[concept] = id
		b.lexicon.Concepts = append(b.lexicon.Concepts, concept)
	}
	words := wordsOf(strings.TrimSuffix(text, "*"))
	for _, variant := range [][]string{words, withElisions(words)} {
		key := strings.Join(variant, " ")
		if key != "" && !slices.Contains(b.lexicon.Phrases[key], id) {
			b.lexicon.Phrases[key] = append(b.lexicon.Phrases[key], id)
		}
	}
}

// wordsOf are the words of a text as the scanner cuts it, folded.
func wordsOf(text string) []string {
	tokens := scan(fold(text))
	words := make([]string, len(tokens))
	for i, t := range tokens {
		words[i] = t.text
	}
	return words
}

// withElisions writes "leau" as the two words that it is where an apostrophe is typed.
func withElisions(words []string) []string {
	var out []string
	for _, w := range words {
		if n := len(w); n > 3 && strings.ContainsRune("ldjcnsmt", rune(w[0])) && strings.ContainsRune("aeiouh", rune(w[1])) {
			out = append(out, w[:1], w[1:])
			continue
		}
		out = append(out, w)
	}
	return out
}
