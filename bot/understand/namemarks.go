package understand

import (
	"strings"
	"sync"

	"deepward/advisor"
)

// shortestUnscreened is the length from which a single word of the names that were not
// looked through for everyday words is taken for the name of a fish.
const shortestUnscreened = 5

// The marks of the learned reader for names of fish.
const (
	markPlain    = 1
	markEveryday = 2 // the name is an everyday word too
)

// nameMark tells how far words are the name of a fish, or its plural: 0 for no name; of
// several the stronger warning stands. It is what NameMarks has for them, without
// reading all names first.
func nameMark(phrase string) uint8 {
	mark := max(catalogueMark(phrase), gazetteerMark(phrase, phrase))
	if one, plural := strings.CutSuffix(phrase, "s"); plural {
		mark = max(mark, gazetteerMark(one, one))
		if key := joinedKey(phrase); key != joinedKey(one) {
			mark = max(mark, gazetteerMark(phrase, one))
		}
	}
	return mark
}

// gazetteerMark is the mark of the names of the gazetteer by the key of one spelling whose
// words are these.
func gazetteerMark(spelling, words string) (mark uint8) {
	for _, n := range advisor.GazetteerNamed(joinedKey(spelling)) {
		if m := markOfName(n); m > mark && strings.Join(wordsOf(n.Name), " ") == words {
			mark = m
		}
	}
	return mark
}

// markOfName is the mark of a name of the gazetteer.
func markOfName(n advisor.GazetteerName) uint8 {
	words := wordsOf(n.Name)
	switch {
	case n.Taxon == "-" || len(words) == 0 || !n.Screened && len(words) == 1 && len(words[0]) < shortestUnscreened:
		return 0
	case n.Everyday == "high" || n.Everyday == "medium":
		return markEveryday
	}
	return markPlain
}

// catalogueMark is the mark of words by the names of the catalogue and their plurals.
func catalogueMark(phrase string) uint8 {
	if !isLettersOnly(phrase) {
		return oddMarks()[phrase]
	}
	known := names().entries[phrase] != nil
	if one, plural := strings.CutSuffix(phrase, "s"); known || plural && names().entries[one] != nil {
		return markPlain
	}
	return oddMarks()[phrase]
}

// oddMarks are the marks of those names of the catalogue that the scanner cuts elsewhere
// than at blanks.
var oddMarks = sync.OnceValue(func() map[string]uint8 {
	return marksOf(func(name string) bool { return !isLettersOnly(name) })
})

// marksOf are the marks of some names of the catalogue and their plurals.
func marksOf(some func(name string) bool) map[string]uint8 {
	marks := map[string]uint8{}
	for name := range names().entries {
		if words := wordsOf(name); some(name) && len(words) > 0 {
			addMark(marks, words, markPlain)
		}
	}
	return marks
}

// NameMarks are the marks of all names, for the training of the learned reader.
func NameMarks() map[string]uint8 {
	marks := map[string]uint8{}
	for _, n := range advisor.GazetteerNames() {
		if mark := markOfName(n); mark > 0 {
			addMark(marks, wordsOf(n.Name), mark)
		}
	}
	for phrase, mark := range marksOf(func(string) bool { return true }) {
		marks[phrase] = max(marks[phrase], mark)
	}
	return marks
}

// addMark marks a name and its plural; the stronger warning stands.
func addMark(marks map[string]uint8, words []string, mark uint8) {
	name := strings.Join(words, " ")
	for _, form := range []string{name, name + "s"} {
		marks[form] = max(marks[form], mark)
	}
}
