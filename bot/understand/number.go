package understand

import (
	_ "embed"
	"sync"
)

//go:embed data/numbers.csv
var numbersCSV string

// numberWord is a word that makes a number, alone or beside others. Words that
// languages share bear the language of the first.
type numberWord struct {
	language string
	value    float64
}

// spokenNumbers are the words of numbers in the languages spoken here.
var spokenNumbers = sync.OnceValue(func() map[string]numberWord {
	table := map[string]numberWord{}
	for _, row := range mustRows(numbersCSV) {
		table[row[1]] = numberWord{row[0], parse(row[2])}
	}
	return table
})

// numberOf is the value of one word of a number.
func numberOf(w string) (float64, bool) {
	n, ok := spokenNumbers()[w]
	return n.value, ok
}

// number is a number read from tokens: its value and the token after it.
type number struct {
	value float64
	// raw is the text of a number in digits, "" for words.
	raw  string
	next int
}

// readNumberAt reads a number that begins at token i, in digits or in words.
func readNumberAt(tokens []token, i int) (number, bool) {
	if i >= len(tokens) || tokens[i].used {
		return number{}, false
	}
	if tokens[i].kind == tokenNumber {
		return withFraction(tokens, withThousands(tokens, number{tokens[i].value, tokens[i].text, i + 1})), true
	}
	if tokens[i].kind == tokenWord {
		return readWords(tokens, i)
	}
	return number{}, false
}

// thousand is what its word stands for.
const thousand = 1000

// withThousands multiplies whole digits before the word: "2 mil pies".
func withThousands(tokens []token, n number) number {
	value, _ := numberOf(word(tokens, n.next))
	whole := number{n.value * thousand, "", n.next + 1}
	if _, _, measured := readUnit(tokens, whole); value != thousand || n.value < 1 || n.value >= 100 || !measured {
		return n
	}
	return whole
}

// withFraction adds a fraction that follows a whole number: "2 1/2", "2 and a half".
func withFraction(tokens []token, n number) number {
	i := n.next
	if i < len(tokens) && tokens[i].kind == tokenNumber && tokens[i].value < 1 && tokens[i].value > 0 && isSpelledFraction(tokens[i].text) {
		return number{n.value + tokens[i].value, n.raw, i + 1}
	}
	return withHalf(tokens, n)
}

func isSpelledFraction(text string) bool { return len(text) == 3 && text[1] == '/' }

// withHalf adds "and a half", "y medio", "e meio", "et demi".
func withHalf(tokens []token, n number) number {
	i := n.next
	if w := word(tokens, i); (w == "n" || w == "an") && word(tokens, i+1) == "half" {
		return number{n.value + 0.5, n.raw, i + 2}
	}
	if w := word(tokens, i); (w == "and" || w == "n") && word(tokens, i+1) == "a" && (word(tokens, i+2) == "half" || word(tokens, i+2) == "quarter") {
		share := 0.5
		if word(tokens, i+2) == "quarter" {
			share = 0.25
		}
		return number{n.value + share, n.raw, i + 3}
	}
	if w := word(tokens, i) + " " + word(tokens, i+1); w == "y medio" || w == "y media" || w == "e meio" || w == "e meia" || w == "et demi" || w == "et demie" || w == "and half" {
		return number{n.value + 0.5, n.raw, i + 2}
	}
	if w := word(tokens, i) + " " + word(tokens, i+1); w == "y cuarto" || w == "e quarto" || w == "et quart" || w == "and quarter" {
		return number{n.value + 0.25, n.raw, i + 2}
	}
	return n
}

// readWords reads "one hundred and twenty", "treinta y cinco", "quatre-vingt-dix",
// "two and a half", "half a", "a couple of".
func readWords(tokens []token, i int) (number, bool) {
	if half, ok := readHalf(tokens, i); ok {
		return half, true
	}
	if word(tokens, i) == "a" && (word(tokens, i+1) == "hundred" || word(tokens, i+1) == "thousand" || word(tokens, i+1) == "couple" || word(tokens, i+1) == "dozen") {
		i++
	}
	var n spoken
	for {
		next := i
		if n.any {
			next = pastJoiner(tokens, i, n.last)
		}
		if !n.add(word(tokens, next), next > i) {
			break
		}
		i = next + 1
	}
	if !n.any {
		return number{}, false
	}
	if w := n.last.word; (w == "couple" || w == "pair") && word(tokens, i) == "of" {
		i++
	}
	said := number{n.thousands + n.hundreds + n.rest, "", i}
	if _, _, measured := readUnit(tokens, said); n.thousands == said.value && n.thousands > 0 && !measured {
		return number{}, false // "mil gracias", "thanks a thousand"
	}
	return withPoint(tokens, withHalf(tokens, said)), true
}

// joiners are the words between the parts of one number, by language.
var joiners = map[string]string{"en": "and", "es": "y", "pt": "e", "fr": "et"}

// pastJoiner steps over what joins the parts of one number: "and", "y", "e", "et", "-".
func pastJoiner(tokens []token, i int, last spokenWord) int {
	if w := word(tokens, i); last.language == "en" && last.value == 100 && (w == "n" || w == "an") {
		return i + 1
	}
	if w := word(tokens, i); last.word == "mil" && w == "e" {
		return i + 1
	}
	if mark(tokens, i) == "-" || word(tokens, i) != "" && word(tokens, i) == joiners[last.language] {
		return i + 1
	}
	return i
}

// spokenWord is a word of a number as it was said.
type spokenWord struct {
	word string
	numberWord
}

// spoken is a number of which the words are heard one by one.
type spoken struct {
	thousands, hundreds, rest float64
	last                      spokenWord
	any                       bool
}

// oneWords say one of several.
var oneWords = map[string]bool{"one": true, "uno": true, "una": true, "un": true, "um": true, "uma": true, "une": true}

// add takes the next word of the number and reports whether it belongs to it; joined
// is true when a joiner stands before it.
func (n *spoken) add(w string, joined bool) bool {
	next, known := spokenNumbers()[w]
	if !known && joined && oneWords[w] && n.rest >= 20 && n.wholeTens() { // "vingt et un"
		next, known = numberWord{n.last.language, 1}, true
	}
	if !known {
		return false
	}
	switch {
	case next.value == thousand && n.thousands == 0 && !joined:
		n.thousands, n.hundreds, n.rest = thousand*max(n.hundreds+n.rest, 1), 0, 0 // "dos mil", "mille"
	case !n.any, n.last.value == thousand && next.value > 0:
		n.say(next.value)
	case next.value == 100 && multiplies[w] && n.hundreds == 0 && countsHundreds(n.rest, next.language) && !joined:
		n.hundreds, n.rest = 100*n.rest, 0 // "two hundred", "deux cents", "eleven hundred"
	case n.rest == 4 && next.value == 20 && next.language == "fr": // "quatre-vingts"
		n.rest = 80
	case n.takes(next, joined):
		n.rest += next.value
	default:
		return false
	}
	n.last = spokenWord{w, next}
	n.any = true
	return true
}

// multiplies are the words for a hundred that take a figure before them.
var multiplies = wordSet("hundred hunnerd hunnert hunnid cent cents")

// countsHundreds is true for what may stand before a hundred: up to nine, and in English eleven
// and more, "eleven hundred", but ten.
func countsHundreds(n float64, language string) bool {
	return n > 0 && n < 10 || language == "en" && n > 10 && n < 20
}

// say begins the number.
func (n *spoken) say(value float64) {
	if value >= 100 {
		n.hundreds = value
		return
	}
	n.rest = value
}

func (n *spoken) wholeTens() bool { return float64(int(n.rest/10))*10 == n.rest }

// takes reports whether a word adds to what was said: a smaller part to hundreds, a unit
// to tens. In Spanish and Portuguese tens and units are joined, so that "cincuenta tres"
// stays two numbers; in French "soixante" and "quatre-vingt" take up to nineteen.
func (n *spoken) takes(next numberWord, joined bool) bool {
	language := n.last.language
	switch {
	case next.value <= 0 || next.value >= 100:
		return false
	case n.rest == 0:
		return n.hundreds > 0
	case n.rest == 10 || n.last.value == 10: // "dix-sept", "soixante-dix-sept"
		return language == "fr" && next.value >= 7 && next.value <= 9
	case n.rest < 20 || !n.wholeTens():
		return false
	case next.value < 10:
		return joined || language == "en" || language == "fr"
	default:
		return next.value < 20 && (n.last.word == "soixante" || n.last.word == "vingt" && n.rest == 80)
	}
}

// shortHundred reads a depth as it is said for short in English: "one twenty feet" is 120
// feet. Of "two twenty pound gag" and of "got one fifty feet down" it makes no hundred.
func shortHundred(tokens []token, i int, n number) (number, bool) {
	digit := spokenNumbers()[word(tokens, i)]
	if digit.language != "en" || digit.value < 1 || digit.value > 9 || n.next != i+1 || catching[word(tokens, i-1)] {
		return n, false
	}
	tens, ok := spokenNumbers()[word(tokens, n.next)]
	if !ok || tens.language != "en" || tens.value < 10 || tens.value >= 100 {
		return n, false
	}
	rest, ok := readWords(tokens, n.next)
	if !ok || rest.value >= 100 {
		return n, false
	}
	u, _, ok := readUnit(tokens, rest)
	return number{100*digit.value + rest.value, "", rest.next}, ok && u.dim == depth
}

// catching are words after which "one" is a fish.
var catching = map[string]bool{
	"got": true, "caught": true, "have": true, "had": true, "hooked": true, "landed": true, "boated": true,
	"another": true, "this": true, "that": true, "only": true, "just": true, "released": true, "lost": true, "is": true,
}

// withPoint adds "point five".
func withPoint(tokens []token, n number) number {
	if word(tokens, n.next) != "point" {
		return n
	}
	digit, ok := numberOf(word(tokens, n.next+1))
	if !ok || digit > 9 {
		return n
	}
	return number{n.value + digit/10, "", n.next + 2}
}

func readHalf(tokens []token, i int) (number, bool) {
	switch w := word(tokens, i); {
	case (w == "half" || w == "quarter") && (word(tokens, i+1) == "a" || word(tokens, i+1) == "an"):
		return number{halfOrQuarter(w), "", i + 2}, true
	case w == "half" || w == "medio" || w == "media" || w == "meio" || w == "meia" || w == "demi":
		return number{0.5, "", i + 1}, true
	default:
		return number{}, false
	}
}

func halfOrQuarter(w string) float64 {
	if w == "quarter" {
		return 0.25
	}
	return 0.5
}

func isNumberWord(w string) bool { _, ok := numberOf(w); return ok }

// word is the word at a token, "" if it is no word or out of reach.
func word(tokens []token, i int) string {
	if i < 0 || i >= len(tokens) || tokens[i].kind != tokenWord {
		return ""
	}
	return tokens[i].text
}

// mark is the mark at a token, "" if it is none.
func mark(tokens []token, i int) string {
	if i < 0 || i >= len(tokens) || tokens[i].kind != tokenMark {
		return ""
	}
	return tokens[i].text
}
