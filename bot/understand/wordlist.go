package understand

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor/packed"
)

//go:generate go run deepward/advisor/pack data/words.csv

//go:embed data/words.csv.gz
var wordsGzip []byte

// wordsCSV are the words that people type: language, concept, phrase.
var wordsCSV = sync.OnceValue(func() string { return packed.Text(wordsGzip) })

// wordList is what the rules need of the words that people type; the learned reader has
// all of them as hints (lexicon).
type wordList struct {
	// known are the words of all phrases.
	known map[string]bool
	// tag are the words for a tag, days the phrases for a day by how many days ago it was.
	tag  map[string]bool
	days map[string]int
}

// dayConcept begins the concept of a phrase for a day, before how many days ago it was.
const dayConcept = "day:"

var listed = sync.OnceValue(newWordList)

func newWordList() wordList {
	l := wordList{known: map[string]bool{}, tag: map[string]bool{}, days: map[string]int{}}
	for _, row := range mustRows(wordsCSV()) {
		concept, text := row[1], strings.TrimSuffix(row[2], "*")
		for w := range strings.FieldsSeq(text) {
			l.known[w] = true
		}
		if ago, err := strconv.Atoi(strings.TrimPrefix(concept, dayConcept)); err == nil {
			l.days[text] = ago
		}
		if concept == "tag" {
			l.tag[text] = true
		}
	}
	return l
}

// longestDayPhrase is how many words a phrase for a day has at most.
const longestDayPhrase = 4

// dayPhrase is how many days ago the phrase for a day at token i says it was, and the token
// behind it.
func dayPhrase(tokens []token, i int) (ago, to int, ok bool) {
	for n := min(longestDayPhrase, len(tokens)-i); n > 0; n-- {
		var words []string
		for _, t := range tokens[i : i+n] {
			if t.kind == tokenWord && !t.used {
				words = append(words, t.text)
			}
		}
		if ago, ok := listed().days[strings.Join(words, " ")]; ok && tokens[i+n-1].kind == tokenWord {
			return ago, i + n, true
		}
	}
	if w := word(tokens, i); len(w) > longWord && !listed().known[w] {
		for day, ago := range listed().days {
			if day[0] == w[0] && typos(day, w) == 1 {
				return ago, i + 1, true
			}
		}
	}
	return 0, 0, false
}

// longWord is the length over which a word may be misspelt by a letter.
const longWord = 6
