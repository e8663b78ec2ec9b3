package bot

import (
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
	for _, word := range strings.Fields(line) {
		n := utf8.RuneCountInString(word)
		if left -= 1 + n; rows == 0 || left < 0 {
			rows, left = rows+1, phoneColumns-n
		}
	}
	return rows
}

// page is an answer being written: its lines, and the rows that are left.
type page struct {
	lines []string
	left  int
}

func newPage() *page { return &page{left: phoneRows} }

// put writes a line, if there is one.
func (p *page) put(line string) {
	if line != "" {
		p.lines = append(p.lines, line)
		p.left -= rowsOf(line)
	}
}

// fit joins what must be said with what may be said while it fits into so many rows.
func fit(rows int, join func(parts []string) string, must, may []string) string {
	parts := must
	for _, part := range may {
		if more := append(parts[:len(parts):len(parts)], part); rowsOf(join(more)) <= rows {
			parts = more
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return join(parts)
}

// clauses joins parts into one line that begins with the sentence of that key.
func clauses(v words.Voice, key string) func(parts []string) string {
	return func(parts []string) string { return v.Say(key, v.Clauses(parts...)) }
}

// sentences joins parts into a line of short sentences.
func sentences(parts []string) string {
	list := make([]string, len(parts))
	for i, part := range parts {
		list[i] = sentenceCase(part)
	}
	return strings.Join(list, ". ")
}
