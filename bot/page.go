package bot

import (
	"slices"
	"strings"
	"unicode/utf8"

	"deepward/bot/words"
)

// An answer is read at arm's length with wet hands: no more than so many rows on a phone
// of so many characters.
const (
	phoneColumns = 38
	phoneRows    = 10
)

// rowsOf is how many rows a line takes on a phone, broken between words; 0 for no line.
func rowsOf(line string) (rows int) {
	left := 0 // of the row
	for word := range strings.FieldsSeq(line) {
		n := utf8.RuneCountInString(word)
		if left -= 1 + n; rows == 0 || left < 0 {
			rows, left = rows+1, phoneColumns-n
		}
	}
	return rows
}

// line is a line of an answer, and how it is said where there is little room.
type line struct{ full, short string }

func same(s string) line { return line{s, s} }

// parts are what one line may tell: first what must be said, rest while there is room.
type parts struct {
	first, rest []string
	join        func(parts []string) string
}

// must is the line with no more than has to be said; "" for nothing.
func (p parts) must() string { return p.within(0) }

// within is the line with what fits into so many rows.
func (p parts) within(rows int) string {
	said := p.first
	for _, part := range p.rest {
		if more := append(said[:len(said):len(said)], part); rowsOf(p.join(more)) <= rows {
			said = more
		}
	}
	if len(said) == 0 {
		return ""
	}
	return p.join(said)
}

// page is an answer being written: its lines, and the rows that are left.
type page struct {
	lines []string
	left  int
}

// newPage takes the lines that must be there, the later ones short where they are too many.
func newPage(lines ...line) *page {
	p := &page{left: phoneRows}
	for _, l := range lines {
		p.lines = append(p.lines, l.full)
		p.left -= rowsOf(l.full)
	}
	for i := len(lines) - 1; i >= 0 && p.left < 0; i-- {
		p.put(i, lines[i].short)
	}
	return p
}

// put writes another text in place of a line.
func (p *page) put(i int, text string) {
	p.left += rowsOf(p.lines[i]) - rowsOf(text)
	p.lines[i] = text
}

// fill tells in a line what there is room for; one that had to be short stays so.
func (p *page) fill(i int, told parts) {
	room := p.left + rowsOf(p.lines[i])
	if text := told.within(room); rowsOf(text) <= room {
		p.put(i, text)
	}
}

// text is the page without its empty lines.
func (p *page) text() string {
	return strings.Join(slices.DeleteFunc(p.lines, func(line string) bool { return line == "" }), "\n")
}

// clauses joins parts into one line that begins with the sentence of that key.
func clauses(v words.Voice, key string) func(parts []string) string {
	return func(parts []string) string { return v.Say(key, v.Clauses(parts...)) }
}

// sentences joins parts into a line of short sentences.
func sentences(parts []string) string {
	text := ""
	for _, part := range parts {
		switch {
		case text == "":
		case strings.HasSuffix(text, "?"):
			text += " "
		default:
			text += ". "
		}
		text += words.SentenceCase(part)
	}
	return text
}
