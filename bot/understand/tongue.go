package understand

import (
	"strings"
	"sync"

	"deepward/advisor"
)

// tongues are the languages of the words that only one of them has, by word. Words of
// two letters stand in too many languages to tell anything.
var tongues = sync.OnceValue(func() map[string]string {
	const several = "*"
	by := map[string]string{}
	add := func(language, text string) {
		for word := range strings.FieldsFuncSeq(text, isNameBreak) {
			switch was := by[word]; {
			case len(word) < 3:
			case was == "":
				by[word] = language
			case was != language:
				by[word] = several
			}
		}
	}
	for _, row := range mustRows(wordsCSV()) {
		add(row[0], strings.TrimSuffix(row[2], "*"))
	}
	for _, row := range mustRows(namesAbroadCSV) {
		add(row[0], fold(row[1]))
	}
	for _, s := range advisor.Catalogue() {
		add("en", fold(s.EnglishName)) // the others are of many languages
		for _, language := range advisor.BaseLanguages()[1:] {
			if s.NamedIn(language) {
				add(language, fold(s.NameIn(language)))
			}
		}
	}
	for word, language := range by {
		if language == several {
			delete(by, word)
		}
	}
	return by
})

// surely is how many words of one language tell that a message is in it.
const surely = 2

// LanguageOf is the language that a message is written in, "en", "es", "pt" or "fr";
// "" where too few of its words tell. sure is false where a single word does.
func LanguageOf(text string) (language string, sure bool) {
	counts := map[string]int{}
	for _, t := range scan(fold(text)) {
		if l := tongues()[t.text]; t.kind == tokenWord && l != "" {
			counts[l]++
		}
	}
	most := 0
	for l, n := range counts {
		switch {
		case n > most:
			language, most = l, n
		case n == most:
			language = ""
		}
	}
	return language, language != "" && most >= surely && 2*(len(counts)-1) <= most
}
