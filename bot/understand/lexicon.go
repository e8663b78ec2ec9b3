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
	b := lexiconBuilder{ids: map[string]int{}, lexicon: &learned.Lexicon{Phrases: make(map[string][]int, phrasesAbout), Names: nameMark}}
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

// phrasesAbout is how many phrases the lists have, roughly.
const phrasesAbout = 5000

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
	b.add(strings.Join(words, " "), id)
	if slices.ContainsFunc(words, isElided) {
		b.add(strings.Join(withElisions(words), " "), id)
	}
}

func (b lexiconBuilder) add(key string, id int) {
	if known := b.lexicon.Phrases[key]; key != "" && !slices.Contains(known, id) {
		b.lexicon.Phrases[key] = append(known, id)
	}
}

// wordsOf are the words of a text as the scanner cuts it, folded.
func wordsOf(text string) []string {
	text = fold(text)
	if isLettersOnly(text) {
		return strings.Fields(text)
	}
	tokens := scan(text)
	words := make([]string, len(tokens))
	for i, t := range tokens {
		words[i] = t.text
	}
	return words
}

// isLettersOnly is true for small letters without marks, and blanks: the scanner cuts those
// at the blanks alone. Nearly all phrases and names are so.
func isLettersOnly(text string) bool {
	for i := range len(text) {
		if c := text[i]; c != ' ' && (c < 'a' || c > 'z') {
			return false
		}
	}
	return true
}

// isElided is true for a word that may be two, the first cut short.
func isElided(w string) bool {
	return len(w) > 3 && strings.IndexByte("ldjcnsmt", w[0]) >= 0 && strings.IndexByte("aeiouh", w[1]) >= 0
}

// withElisions writes "leau" as the two words that it is where an apostrophe is typed.
func withElisions(words []string) []string {
	var out []string
	for _, w := range words {
		if isElided(w) {
			out = append(out, w[:1], w[1:])
			continue
		}
		out = append(out, w)
	}
	return out
}
