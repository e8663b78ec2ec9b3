package importer

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"deepward/advisor"
)

// Column is a column of the file and how it was understood.
type Column struct {
	// Heading is the heading in the file.
	Heading string
	// Says is what the column was taken for, in plain English; "" if for nothing.
	Says string

	index int
	// renamed is true when somebody said what the column is.
	renamed bool
	heading
	// nothing is true for a column without a heading and without a cell.
	nothing bool
	// asked is true where there is a question about the column already.
	asked bool
	// codes counts the cells that stand for not measured; words are the cells of a
	// column of words with what they were read as.
	codes map[string]int
	words []wordRead
	// unread counts the cells by what they say, where that was not understood.
	unread map[string]int
	// order is that of its dates, "" while it is in question; it matters when some
	// date can be read in several.
	order        DateOrder
	orderMatters bool
	// runTogether is true for an angle that is written as degrees and minutes without a
	// mark between.
	runTogether bool
	// book is the line that tells what its codes mean, 0 if none does.
	book int
	// events is true for a column of recaptures that calls the rows by what happened,
	// as tagging and recapture.
	events bool
}

// heading is what a heading says.
type heading struct {
	field field
	// again is 0 when it is about the release, 1 for the first recapture, 2 for the
	// second.
	again      int
	unitWord   string
	unit       unit
	lengthType advisor.LengthType
	// west or south turns figures without a sign.
	negative bool
	place    int
}

// mostRecaptures is how many recaptures a row may tell of.
const mostRecaptures = 9

// dateForm is how a heading tells the form of its dates, as in "Date (dd/mm/yyyy)";
// answerForm how it tells that its cells are yes or no.
var (
	dateForm = regexp.MustCompile(`\b(d{1,2}|m{1,3}|y{2,4}|day|month|year)[-/. ](d{1,2}|m{1,3}|day|month)[-/. ](d{1,2}|y{1,4}|day|year)\b( hh?:mm(:ss)?)?`)
	// minutesForm is how a heading tells that an angle is degrees and minutes.
	minutesForm = regexp.MustCompile(`\bd{2,3}[ .]?mm(\.?m+)?\b`)
	answerForm  = regexp.MustCompile(`\b(y/n|yes/no|n/y|0/1|1/0|t/f|true/false|s/n|o/n|[01]\s*=\s*(yes|no|y|n)\b)`)
)

// orderSaid is the order of day, month and year that a heading tells, "" if none.
func orderSaid(text string) DateOrder {
	m := dateForm.FindStringSubmatch(fold(text))
	if m == nil {
		return ""
	}
	return DateOrder(m[1][:1] + m[2][:1] + m[3][:1])
}

// headingWords cuts a heading into folded words: "TagNo (#)" is tag, no, no, and
// "RECDATE" rec, date.
func headingWords(text string) []string {
	var list []string
	for _, w := range plainWords(text) {
		list = append(list, known().unglued(w)...)
	}
	return list
}

// elided parts what is written together in headings.
var elided = strings.NewReplacer("#", " no ", "°", " ", "/", " ", "l'", "l ", "d'", "d ")

func plainWords(text string) []string {
	var b strings.Builder
	var last rune
	for _, r := range text {
		if unicode.IsUpper(r) && (unicode.IsLower(last) || unicode.IsDigit(last)) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		last = r
	}
	plain := dateForm.ReplaceAllString(answerForm.ReplaceAllString(minutesForm.ReplaceAllString(fold(b.String()), " "), " "), " ")
	plain = elided.Replace(plain)
	return strings.FieldsFunc(plain, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '"'
	})
}

// readHeading understands a heading. exact is false when words are left over that
// nobody knows: then it is only a guess.
func readHeading(text string) (h heading, exact, ok bool) {
	words := headingWords(text)
	best, bestLeft := phrase{}, len(words)+1
	for _, p := range known().phrases {
		at := within(words, p.words)
		if at < 0 {
			continue
		}
		left, fits := leftOver(words, at, p)
		better := left < bestLeft || left == bestLeft && len(p.words) > len(best.words)
		if fits && better {
			best, bestLeft = p, left
		}
	}
	if bestLeft > len(words) {
		return heading{}, false, false
	}
	if (best.field == fieldVented || best.field == fieldRecompressed) && len(known().meanings("method", strings.Join(words, " "))) > 1 {
		return heading{field: fieldMethod, place: best.place}, true, true // "Release (surface/vented/descended)"
	}
	h = best.heading(words)
	if bestLeft > 0 && h.again > 0 && !h.field.whenRecaptured() {
		return heading{}, false, false // "Recap 1 loc" does not say whether the fish was recaptured
	}
	return h, bestLeft == 0, true
}

// within is where a phrase stands in the words, -1 if it does not.
func within(words, phrase []string) int {
	for i := 0; i+len(phrase) <= len(words); i++ {
		if slices.Equal(words[i:i+len(phrase)], phrase) {
			return i
		}
	}
	return -1
}

// leftOver counts the words beside the phrase that mean nothing with it. fits is
// false where they give the column to a recapture that has no such thing.
func leftOver(words []string, at int, p phrase) (left int, fits bool) {
	v := known()
	for i, w := range words {
		if i >= at && i < at+len(p.words) {
			continue
		}
		_, isUnit := v.units[p.field.measures()][w]
		_, isType := v.lengthType(w)
		switch role := v.roles[w]; {
		case p.field.whenRecaptured() && v.nth(words, i) > 0:
		case p.field == fieldTag && (w == "1" || w == "2" || w == "a" || w == "b"): // fish that wear two
		case isUnit, role == "filler", role == "release", isType && p.field == fieldLength, isCompass(w) && p.field.angle():
		case role == "recapture":
			if !p.field.whenRecaptured() {
				return 0, false
			}
		default:
			left++
		}
	}
	return left, true
}

func (f field) angle() bool { return f == fieldLat || f == fieldLon }

func isCompass(w string) bool {
	return slices.Contains([]string{"n", "s", "e", "w", "north", "south", "east", "west"}, w)
}

// nth is which recapture the i-th word counts, 0 if it counts none: the figure in
// "recapture date 2", the word in "second recapture date".
func (v *vocabulary) nth(words []string, i int) int {
	n := slices.Index([]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, words[i]) + 1
	if n == 0 {
		n = slices.Index([]string{"first", "second", "third", "fourth"}, words[i]) + 1
	}
	for k, w := range words {
		if k != i && v.roles[w] == "recapture" {
			return n
		}
	}
	return 0
}

// longestGlued is how long a word may be that is looked at piece by piece.
const longestGlued = 40

// unglued cuts a word that nobody knows where it is made of two that are known: a
// word for release or recapture before a heading, a unit or a figure behind one.
func (v *vocabulary) unglued(w string) []string {
	if v.headingWords[w] || v.roles[w] != "" || len(w) > longestGlued {
		return []string{w}
	}
	for at := 2; at < len(w); at++ {
		a, b := w[:at], w[at:]
		before, isBefore := v.roles[a]
		switch {
		case slices.Contains([]string{"tag", "number", "num", "no", "id"}, a) && (b == "1" || b == "2"):
			return []string{a, b}
		case isBefore && before != "filler" && v.headingWords[b], v.roles[a] == "recapture" && len(b) == 1 && b >= "1" && b <= "9", v.unitOf(a, b):
			return []string{a, b}
		}
	}
	return []string{w}
}

// unitOf is true when the heading measures something and the unit is one of it.
func (v *vocabulary) unitOf(heading, unit string) bool {
	for _, p := range v.phrases {
		if len(p.words) == 1 && p.words[0] == heading {
			if _, ok := v.units[p.field.measures()][unit]; ok {
				return true
			}
		}
	}
	return false
}

// heading gathers what the words around the phrase say.
func (p phrase) heading(words []string) heading {
	v := known()
	h := heading{field: p.field, place: p.place}
	at := within(words, p.words)
	for i, w := range words {
		inside := i >= at && i < at+len(p.words)
		if u, ok := v.units[p.field.measures()][w]; ok && (h.unitWord == "" || h.unitWord == "in") {
			h.unitWord, h.unit = w, u
		}
		if t, ok := v.lengthType(w); ok && p.field == fieldLength && h.lengthType == "" {
			h.lengthType = t
		}
		if !inside && v.roles[w] == "recapture" {
			h.again = max(h.again, 1)
		}
		if n := v.nth(words, i); !inside && n > 0 {
			h.again = n
		}
		if p.field.angle() && slices.Contains([]string{"w", "west", "s", "south"}, w) {
			h.negative = true
		}
	}
	return h
}

// headingLines is how many lines are searched for the headings: titles stand above.
const headingLines = 30

// findHeadings is the line, among the first, that has most known headings; ok is
// false when none has two, or one that is all there is. A heading known in part
// counts for half a one.
func (t *table) findHeadings(named map[string]string) (at int, ok bool) {
	most := 0
	for i, l := range t.lines[:min(len(t.lines), headingLines)] {
		if n := l.headings(named); n > most {
			most, at = n, i
		}
	}
	return at, most > 0
}

// headings counts the known headings of a line, twice each; 0 if they are too few.
func (l line) headings(named map[string]string) int {
	exactly, partly, filled := 0, 0, 0
	for c := range l.cells {
		text := renamed(l.cell(c), named)
		if text == "" {
			continue
		}
		filled++
		switch _, exact, ok := readHeading(text); {
		case ok && exact, text == leaveOut:
			exactly++
		case ok:
			partly++
		default:
			if _, _, ok := glued(text); ok {
				partly++
			}
		}
	}
	if exactly == 0 || exactly+partly < 2 && filled > 1 {
		return 0
	}
	return 2*exactly + partly
}

// leaveOut as the meaning of a column leaves it out.
const leaveOut = "-"

// renamed is what a heading is to be read as.
func renamed(text string, named map[string]string) string {
	for from, to := range named {
		if spaced(from) == spaced(text) {
			return strings.TrimSpace(to)
		}
	}
	return text
}
