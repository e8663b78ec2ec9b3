package importer

import (
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
	heading
	// unread counts the cells by what they say, where that was not understood.
	unread map[string]int
	// order is that of its dates, "" while it is in question; it matters when some
	// date can be read in several.
	order        DateOrder
	orderMatters bool
}

// heading is what a heading says.
type heading struct {
	field field
	// recapture is true when it is about the recapture, not the release.
	recapture  bool
	unitWord   string
	unit       unit
	lengthType advisor.LengthType
	// west or south turns figures without a sign.
	negative bool
	place    int
}

// headingWords cuts a heading into folded words: "TagNo (#)" is tag, no, no.
func headingWords(text string) []string {
	var b strings.Builder
	var last rune
	for _, r := range text {
		if unicode.IsUpper(r) && unicode.IsLower(last) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		last = r
	}
	plain := strings.NewReplacer("#", " no ", "y/n", " ", "°", " ", "/", " ", "l'", "l ", "d'", "d ").Replace(fold(b.String()))
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
	return best.heading(words), bestLeft == 0, true
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
			h.recapture = true
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
