package importer

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// entry is what the code book of a file says of one code.
type entry struct{ code, meaning string }

// codeStart is where an entry of a code book begins: "V = ", "(0 = ".
var codeStart = regexp.MustCompile(`(?:^|[\s;,:("'])["']?([\pL\pN+]{1,8})["']?\s*=\s*`)

// leastEntries is how many entries make a code book: a formula has one equals sign.
const leastEntries = 2

// book is what a code book says of the codes of one column, which its label names.
type book struct {
	label   string
	entries []entry
}

// nextBook is where the code book of another column begins on the same line.
var nextBook = regexp.MustCompile(`[.;]\s+[\pL][\pL\pN_ -]{1,30}:\s*["'(]?[\pL\pN+]{1,8}["']?\s*=`)

// codeBooks reads a line such as "Treatment: V = vented; D = descended. Hook: 1 = lip, 2 = gut".
func (l line) codeBooks() (list []book) {
	var cells []string
	for i := range l.cells {
		if text := l.raw(i); text != "" {
			cells = append(cells, text)
		}
	}
	text := strings.Join(cells, ", ")
	from := 0
	for _, at := range nextBook.FindAllStringIndex(text, -1) {
		list = append(list, bookIn(text[from:at[0]]))
		from = at[0] + 1
	}
	list = append(list, bookIn(text[from:]))
	return slices.DeleteFunc(list, func(b book) bool { return b.entries == nil })
}

// bookIn is the code book in a text, empty where it has fewer than two codes.
func bookIn(text string) (b book) {
	starts := codeStart.FindAllStringSubmatchIndex(text, -1)
	if len(starts) < leastEntries {
		return b
	}
	for i, at := range starts {
		end := len(text)
		if i+1 < len(starts) {
			end = starts[i+1][0]
		}
		meaning := strings.Trim(text[at[1]:end], " \t;,.:'\"")
		if !strings.Contains(meaning, "(") {
			meaning = strings.TrimSuffix(meaning, ")")
		}
		meaning = strings.TrimSuffix(meaning, " and")
		b.entries = append(b.entries, entry{text[at[2]:at[3]], meaning})
	}
	b.label = strings.Trim(text[:starts[0][2]], " \t#*;,:-('\"")
	return b
}

// readCodeBook takes what the lines around the table say of the codes in it, as far
// as it is understood; what was said of a cell for this import goes before.
func (in *reading) readCodeBook() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if b := bookIn(c.Heading); b.entries != nil && c.field != "" {
			in.takeCodes(c, 0, b.entries)
		}
	}
	for _, l := range in.around {
		for _, b := range l.codeBooks() {
			in.readBook(l.number, b)
		}
	}
}

// readBook gives its entries to the columns that it is about.
func (in *reading) readBook(number int, b book) {
	if b.label == "" {
		if c := in.speciesColumn(); c != nil && in.explains(c, b.entries) {
			c.book = number
			in.takeCodes(c, number, b.entries)
		}
		return
	}
	for i := range in.sheet.Columns {
		if c := &in.sheet.Columns[i]; c.isLabelled(b.label) || isBookTitle(b.label) && in.explains(c, b.entries) {
			c.book = number
			in.takeCodes(c, number, b.entries)
		}
	}
	label, _, ok := readHeading(b.label)
	for i := range in.sheet.Columns {
		if c := &in.sheet.Columns[i]; ok && c.book == 0 && c.again > 0 && label.again == 0 && c.field == label.field {
			in.takeCodes(c, number, b.entries) // the same codes at the recaptures
		}
	}
}

// isLabelled is true when the label of a code book is about the column: it has the
// words of the heading or means the same field.
func (c *Column) isLabelled(label string) bool {
	if c.field == "" || c.field == fieldSkip {
		return false
	}
	if h, _, ok := readHeading(label); ok && h.field == c.field && h.again == c.again {
		return true
	}
	words := plainWords(label)
	for _, w := range plainWords(c.Heading) {
		if !slices.Contains(words, w) {
			return false
		}
	}
	return true
}

// isBookTitle is true for a label that names no column: "Key", "Codes".
func isBookTitle(label string) bool {
	return allOf(plainWords(label), func(w string) bool {
		return slices.Contains([]string{"key", "legend", "code", "codes", "note", "notes", "where", "abbreviations", "clave", "codigos", "legende"}, w)
	})
}

// explains is true where the entries are the ways of release of a column of them, or the fish.
func (in *reading) explains(c *Column, entries []entry) bool {
	here := 0
	for _, e := range entries {
		understood := c.field == fieldMethod && c.bookMeaning(e.meaning) != "" || c.field == fieldSpecies && in.findIn(e.meaning)
		if understood && in.holds(c, e.code) {
			here++
		}
	}
	return here >= leastEntries
}

// takeCodes reads the cells of a column as the code book says.
func (in *reading) takeCodes(c *Column, number int, entries []entry) {
	var taken []string
	for _, e := range entries {
		meaning := c.bookMeaning(e.meaning)
		if _, said := in.said[c][spaced(e.code)]; said || meaning == "" || !in.holds(c, e.code) {
			continue
		}
		if in.said[c] == nil {
			in.said[c] = map[string]string{}
		}
		in.said[c][spaced(e.code)] = meaning
		taken = append(taken, fmt.Sprintf("%q is %s", e.code, meaning))
	}
	switch {
	case len(taken) == 0:
	case number == 0:
		in.sheet.note("the heading %q says what is meant: %s", c.Heading, strings.Join(taken, ", "))
	default:
		in.sheet.note("line %d is read as the code book of %q: %s; to read one otherwise: --value \"%s:%s=...\"", number, c.Heading, strings.Join(taken, ", "), c.Heading, entries[0].code)
	}
}

func (in *reading) holds(c *Column, code string) bool {
	return slices.ContainsFunc(in.rows, func(l line) bool { return spaced(l.raw(c.index)) == spaced(code) })
}

// bookMeaning is what a code is read as whose meaning the code book gives, "" where
// that is not understood. A treatment with a code of its own that is called none is
// no treatment; what was not written down is called otherwise.
func (c *Column) bookMeaning(text string) string {
	v := known()
	understood := false
	switch c.field {
	case fieldMethod:
		if saysNone(text) {
			return "no treatment"
		}
		_, understood = methodTold(text)
		understood = understood || v.blank(text)
	case fieldSpecies, fieldScientific:
		understood = text != ""
	case fieldRecaptured:
		understood = c.recapturedIn(text) != notTold
	case fieldVented, fieldRecompressed, fieldKept, fieldReleased:
		_, understood = v.answer(text)
	case fieldHook:
		_, understood = v.meaning("hook", text)
	case fieldCondition:
		understood = len(v.meanings("condition", text)) > 0
	}
	if !understood {
		return ""
	}
	return text
}
