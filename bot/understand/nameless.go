package understand

import (
	_ "embed"
	"regexp"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"deepward/bot/understand/learned"
)

//go:embed data/people.csv
var peopleCSV string

// people are common given names (from memory), and the words before a name of somebody or of
// a place, by use.
var people = sync.OnceValue(func() map[string]map[string]bool {
	table := map[string]map[string]bool{"given": {}, "person": {}, "place": {}}
	for _, row := range mustRows(peopleCSV) {
		table[row[1]][row[2]] = true
	}
	return table
})

// leftOut stands for what was left out of a message.
const leftOut = "…"

// addresses are what leads to somebody: addresses of mail and of the web, names with an @.
var addresses = regexp.MustCompile(`https?://\S+|www\.\S+|\S*@\S+`)

// Nameless is a message without what may tell of somebody or of a place: words that nobody
// knows and that stand neither for a fish nor beside a figure, capitals inside a sentence,
// given names, and figures that are no depth, size or count, such as tags and positions. What
// is left out is "…".
func Nameless(text string, r Reading) string {
	text = addresses.ReplaceAllString(text, leftOut)
	m := masker{text: text, folded: foldPlaced(text), wanted: map[string]bool{}}
	m.tokens = scan(m.folded.text)
	for _, piece := range append(namesIn(r), r.Unread...) {
		for _, w := range wordsOf(piece) {
			m.wanted[w] = true
		}
	}
	return m.masked()
}

func namesIn(r Reading) (list []string) {
	for _, f := range r.Fish {
		list = append(list, f.Name)
	}
	return list
}

// IsHardlyTalk is true for a message that was taken for talk, though not beyond doubt.
func (r Reading) IsHardlyTalk() bool { return r.Act == ActOther && r.Sure <= plainlyOther }

// Figureless is a text in small letters with a # for each figure: messages that differ in
// their figures alone are the same.
func Figureless(text string) string {
	return strings.Join(strings.Fields(figures.ReplaceAllString(strings.ToLower(text), "#")), " ")
}

var figures = regexp.MustCompile(`\d+([.,/]\d+)*`)

// masker is one message being cleared.
type masker struct {
	text   string
	folded folded
	tokens []token
	// wanted are the words that the reading could not use, and those of the names of fish.
	wanted map[string]bool
}

// masked writes the words that are kept, with what stands between them.
func (m *masker) masked() string {
	var b strings.Builder
	kept := m.kept()
	end := 0
	for i, t := range m.tokens {
		from, to := m.place(t.from), m.place(t.to)
		b.WriteString(m.text[min(end, from):from])
		switch end = to; {
		case kept[i]:
			b.WriteString(m.text[from:to])
		case i == 0 || kept[i-1]:
			b.WriteString(leftOut)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// kept tells of each token whether it stays. What joins two that go goes too, and a capital
// right behind one: "Bob Smith".
func (m *masker) kept() []bool {
	kept := make([]bool, len(m.tokens))
	for i, t := range m.tokens {
		after := i > 0 && !kept[i-1] && m.tokens[i-1].text != leftOut
		kept[i] = m.keeps(i) && !(after && t.kind == tokenWord && m.isCapital(i))
	}
	for i := 1; i+1 < len(kept); i++ {
		if m.tokens[i].kind == tokenMark && !kept[i-1] && !kept[i+1] && m.touching(i-1, i+1) {
			kept[i] = false
		}
	}
	return kept
}

// place is the byte of the typed text for one of the folded.
func (m *masker) place(i int) int {
	if m.folded.at == nil {
		return i
	}
	return m.folded.at[i]
}

func (m *masker) keeps(i int) bool {
	switch m.tokens[i].kind {
	case tokenNumber:
		return m.keepsNumber(i)
	case tokenWord:
		return m.keepsWord(i)
	}
	return m.tokens[i].text != "@" && m.tokens[i].text != "°"
}

// What a depth, a size or a count looks like: so many figures before and behind the point.
const mostWhole, mostDecimals = 3, 2

// keepsNumber is false for what may be a tag, a position, a date or a number of somebody.
func (m *masker) keepsNumber(i int) bool {
	t := m.tokens[i]
	whole, decimals, _ := strings.Cut(strings.ReplaceAll(t.text, ",", "."), ".")
	_, unit := units()[word(m.tokens, i+1)]
	joined := i > 0 && m.tokens[i-1].kind == tokenWord && m.tokens[i-1].touches(t)
	after := mark(m.tokens, i+1)
	return len(decimals) <= mostDecimals && (len(whole) <= mostWhole || unit && len(whole) == mostWhole+1) && !joined &&
		after != "°" && !m.isHemisphere(i+1) && !m.isDate(i)
}

// isHemisphere is true for a letter that a position ends with.
func (m *masker) isHemisphere(i int) bool {
	switch word(m.tokens, i) {
	case "s", "n", "e", "w", "o":
		return true
	}
	return false
}

// isDate is true for a number with a dash or a stroke to another.
func (m *masker) isDate(i int) bool {
	for _, side := range []int{i - 1, i + 1} {
		if s := mark(m.tokens, side); s == "/" || s == "-" {
			other := 2*side - i
			if other >= 0 && other < len(m.tokens) && m.tokens[other].kind == tokenNumber && m.touching(i, other) && !m.hasUnit(max(i, other)) {
				return true
			}
		}
	}
	return false
}

// touching is true for two tokens with nothing but one between them.
func (m *masker) touching(i, j int) bool {
	a := min(i, j)
	return m.tokens[a].touches(m.tokens[a+1]) && m.tokens[a+1].touches(m.tokens[a+2])
}

func (m *masker) hasUnit(i int) bool { _, ok := units()[word(m.tokens, i+1)]; return ok }

// keepsWord is false for what may be a name.
func (m *masker) keepsWord(i int) bool {
	w := m.tokens[i].text
	if i+1 < len(m.tokens) && m.tokens[i+1].kind == tokenNumber && m.tokens[i].touches(m.tokens[i+1]) && !m.keepsNumber(i+1) {
		return false // the letters of a tag
	}
	listed, given := m.isListed(w), people()["given"][w]
	named := m.isPossessive(i) || m.follows(i, "person") || m.follows(i, "place")
	switch {
	case m.isCapital(i) && !m.begins(i):
		return listed && !given && !named
	case listed:
		return !(given && m.isCapital(i))
	case given, named:
		return false
	}
	return m.wanted[w] || learned.Trained().Knows(w) || !m.isCapital(i) && theSpellings().words[w]
}

// isListed is true for a word of the lists, and for one of the name of a fish.
func (m *masker) isListed(w string) bool {
	_, unit := units()[w]
	return unit || ordinary(w) || listed().known[w] || isNumberWord(w) || nameMark(w) > 0 || theNameBook().knows(w)
}

func (m *masker) isCapital(i int) bool {
	r, _ := utf8.DecodeRuneInString(m.text[m.place(m.tokens[i].from):])
	return unicode.IsUpper(r)
}

// begins is true for the first word of a message, a line or a sentence.
func (m *masker) begins(i int) bool {
	return i == 0 || strings.Contains(".!?\n:", mark(m.tokens, i-1)) && mark(m.tokens, i-1) != ""
}

// isPossessive is true for a word of which something is: "Bob's".
func (m *masker) isPossessive(i int) bool {
	typed := m.folded.text[m.tokens[i].from:m.tokens[i].to]
	return strings.HasSuffix(typed, "'s")
}

// follows is true behind a word before the names of people, or of places.
func (m *masker) follows(i int, use string) bool {
	before := i - 1
	for before >= 0 && i-before <= 2 && articles[word(m.tokens, before)] {
		before--
	}
	return people()[use][word(m.tokens, before)]
}

// articles stand between a word and a name.
var articles = wordSet("the my el la los mi o a os meu minha le les mon ma de du da do of")
