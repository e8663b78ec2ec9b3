package importer

import (
	_ "embed"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"deepward/advisor"
)

// The words that people use, as data: headings by language, words that only
// surround them, units with exact factors, and the words in cells.
var (
	//go:embed data/headings.csv
	headingsCSV []byte
	//go:embed data/fillers.csv
	fillersCSV []byte
	//go:embed data/units.csv
	unitsCSV []byte
	//go:embed data/words.csv
	wordsCSV []byte
)

// phrase is one way to head a column.
type phrase struct {
	field field
	words []string
	// place is its place in the list; an earlier one is preferred.
	place int
}

// unit turns a figure into the base unit of its quantity.
type unit struct{ factor, offset float64 }

func (u unit) base(x float64) float64 { return x*u.factor + u.offset }

// vocabulary is all of that, ready for use.
type vocabulary struct {
	phrases []phrase
	// headingWords are the words of the phrases.
	headingWords map[string]bool
	// roles of words around a phrase: filler, release, recapture, or a length type.
	roles map[string]string
	units map[quantity]map[string]unit
	// words by list: meaning of each folded word or words.
	words map[string]map[string]string
	// longest is how many words the longest entry of a list has.
	longest map[string]int
	// begins are the first bytes of the lists that nearly every cell is looked up in.
	begins map[string]*beginnings
}

var known = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{
		roles: map[string]string{}, units: map[quantity]map[string]unit{},
		words: map[string]map[string]string{}, longest: map[string]int{}, headingWords: map[string]bool{},
	}
	for i, row := range advisor.Rows("headings", headingsCSV) {
		words := strings.Fields(row[2])
		v.phrases = append(v.phrases, phrase{field(row[1]), words, i})
		for _, w := range words {
			v.headingWords[w] = true
		}
	}
	for _, row := range advisor.Rows("fillers", fillersCSV) {
		v.roles[row[0]] = row[1]
	}
	for _, row := range advisor.Rows("units", unitsCSV) {
		q := quantity(row[0])
		if v.units[q] == nil {
			v.units[q] = map[string]unit{}
		}
		v.units[q][row[1]] = unit{mustNumber(row[2]), mustNumber(row[3])}
	}
	for _, row := range advisor.Rows("words", wordsCSV) {
		list, word := row[0], spaced(row[2])
		if v.words[list] == nil {
			v.words[list] = map[string]string{}
		}
		v.words[list][word] = row[1]
		v.longest[list] = max(v.longest[list], len(strings.Fields(word)))
	}
	v.begins = map[string]*beginnings{"blank": beginningsOf(v.words["blank"]), "answer": beginningsOf(v.words["answer"])}
	return v
})

func mustNumber(text string) float64 {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("importer: embedded units: " + err.Error())
	}
	return x
}

// fold writes text as the word lists have it, without blanks around it.
func fold(text string) string { return strings.TrimSpace(advisor.Fold(text)) }

// spaced folds text and puts one blank between words.
func spaced(text string) string {
	if isSpaced(text) {
		return text
	}
	return strings.Join(strings.Fields(fold(text)), " ")
}

// isSpaced is true for text that spaced leaves as it is; most cells are such text.
func isSpaced(text string) bool {
	before := byte(' ')
	for i := range len(text) {
		c := text[i]
		if c >= utf8.RuneSelf || c < ' ' || 'A' <= c && c <= 'Z' || c == ' ' && before == ' ' {
			return false
		}
		before = c
	}
	return text == "" || before != ' '
}

// meaning is what a cell says by one of the word lists: the whole cell if it is in
// the list, else the only thing that its words say. ok is false for words that the
// list does not have, or that say several things.
func (v *vocabulary) meaning(list, cell string) (string, bool) {
	text := spaced(cell)
	if m, ok := v.words[list][text]; ok {
		return m, true
	}
	found := v.meanings(list, text)
	if len(found) != 1 {
		return "", false
	}
	return found[0], true
}

// meanings are the different things that the words of a cell say, in order; longer
// entries go before the words in them.
func (v *vocabulary) meanings(list, cell string) []string {
	var found []string
	for _, clause := range clauseEnd.Split(spaced(cell), -1) {
		found = v.clause(list, clause, found)
	}
	return found
}

// clauseEnd parts what is denied from what is not: "not vented, sent down".
var clauseEnd = regexp.MustCompile(`[,;/+&()|]|\b(?:and|but|then|y|e|et|pero|mas|mais)\b`)

// clause adds what one clause says. What stands behind a word that denies is not
// said: "could not swim down", "no bloating".
func (v *vocabulary) clause(list, text string, found []string) []string {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '_' })
	denied := false
	for i := 0; i < len(words); {
		step := 1
		for n := min(v.longest[list], len(words)-i); n > 0; n-- {
			if m, ok := v.words[list][strings.Join(words[i:i+n], " ")]; ok && (!denied || m == "") {
				found = appendNew(found, m)
				step = n
				break
			}
		}
		if step == 1 {
			denied = denied || denies(words[i])
		}
		i += step
	}
	return found
}

func denies(w string) bool {
	return slices.Contains([]string{"no", "not", "non", "nil", "never", "without", "unable", "cannot", "sin", "sem", "sans", "nao", "pas", "ni"}, w)
}

func appendNew(list []string, s string) []string {
	for _, have := range list {
		if have == s {
			return list
		}
	}
	return append(list, s)
}

// blank is true for a cell that says nothing: empty, NA, a dash, unknown.
func (v *vocabulary) blank(cell string) bool {
	if cell == "" {
		return true
	}
	if !v.begins["blank"].may(cell) {
		return false
	}
	_, ok := v.words["blank"][spaced(cell)]
	return ok
}

// beginnings are the first bytes of the words of a list, in either case.
type beginnings [utf8.RuneSelf]bool

// may is false for a cell that is surely none of the words.
func (b *beginnings) may(cell string) bool {
	return cell == "" || cell[0] >= utf8.RuneSelf || cell[0] <= ' ' || b[cell[0]]
}

func beginningsOf(words map[string]string) *beginnings {
	b := new(beginnings)
	for w := range words {
		if w[0] < utf8.RuneSelf {
			b[w[0]], b[unicode.ToUpper(rune(w[0]))] = true, true
		}
	}
	return b
}

// answer reads yes or no.
func (v *vocabulary) answer(cell string) (yes, ok bool) {
	if !v.begins["answer"].may(cell) {
		return false, false
	}
	m, ok := v.words["answer"][spaced(cell)]
	return m == "yes", ok
}

// lengthTypes by the words of headings and cells.
func (v *vocabulary) lengthType(word string) (advisor.LengthType, bool) {
	switch role := v.roles[word]; role {
	case "FL", "TL", "SL":
		return advisor.LengthType(role), true
	default:
		return "", false
	}
}
