package importer

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// missingCode is a figure below zero that tables write where nothing was measured:
// -9, -99, -999.0, -88.
var missingCode = regexp.MustCompile(`^-(9+|8{2,})([.,]0+)?$`)

// positiveCode is a figure that may stand for not measured or be one: only whoever
// has the table knows.
var positiveCode = regexp.MustCompile(`^(9{3,}|8{3,})([.,][09]+)?$`)

// mayBeMissing are the fields of which no figure below zero can be true. A longitude
// can be -99.
func mayBeMissing(f field) bool {
	switch f {
	case "", fieldSkip, fieldRemark, fieldLon, fieldPosition, fieldAngler:
		return false
	default:
		return true
	}
}

// readValues sets what cells are read as: what was said of them, and nothing where a
// code stands for not measured.
func (in *reading) readValues() {
	in.said = in.valuesByColumn()
	in.readCodeBook()
	for i := range in.rows {
		l := &in.rows[i]
		for k := range in.sheet.Columns {
			c := &in.sheet.Columns[k]
			text := l.raw(c.index)
			as, ok := in.saidOf(c, text)
			switch {
			case ok:
				l.say(c.index, as)
			case strings.HasPrefix(text, "-") && mayBeMissing(c.field) && missingCode.MatchString(text):
				l.say(c.index, "")
				c.missing(text)
			}
		}
	}
	for _, c := range in.sheet.Columns {
		for _, code := range slices.Sorted(maps.Keys(c.codes)) {
			in.sheet.note("%q in %q is read as not told (%d lines)", code, c.Heading, c.codes[code])
		}
	}
}

// saidOf is what was said of a cell of the column.
func (in *reading) saidOf(c *Column, text string) (as string, ok bool) {
	said := in.said[c]
	if len(said) == 0 {
		return "", false
	}
	as, ok = said[spaced(text)]
	return as, ok
}

// valued is true when something was said of cells of the column.
func (in *reading) valued(c *Column) bool { return len(in.said[c]) > 0 }

func (l *line) say(i int, text string) {
	if l.said == nil {
		l.said = map[int]string{}
	}
	l.said[i] = text
}

func (c *Column) missing(code string) {
	if c.codes == nil {
		c.codes = map[string]int{}
	}
	c.codes[code]++
}

// valuesByColumn sorts what was said of cells by column. A heading may hold a colon:
// the longest that is there counts.
func (in *reading) valuesByColumn() map[*Column]map[string]string {
	said := map[*Column]map[string]string{}
	for _, given := range slices.Sorted(maps.Keys(in.Values)) {
		c, cell := in.columnOf(given)
		if c == nil {
			in.sheet.ask("--value %q names no heading of the file; write it as 'HEADING:CELL=MEANING'", given)
			continue
		}
		if said[c] == nil {
			said[c] = map[string]string{}
		}
		said[c][spaced(cell)] = strings.TrimSpace(in.Values[given])
	}
	return said
}

func (in *reading) columnOf(given string) (found *Column, cell string) {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		for at, r := range given {
			if r == ':' && spaced(given[:at]) == spaced(c.Heading) && (found == nil || len(c.Heading) > len(found.Heading)) {
				found, cell = c, given[at+1:]
			}
		}
	}
	return found, cell
}

// answers is what may be said of a cell of a field that decides how a fish counts;
// "" for the other fields, whose unknown words are only kept.
func (f field) answers() string {
	switch f {
	case fieldMethod:
		return "surface, vented, sent down or kept"
	case fieldRecaptured, fieldVented, fieldRecompressed, fieldKept, fieldReleased:
		return "yes or no"
	default:
		return ""
	}
}

// askForWords asks what the words mean that decide how a fish counts and that nobody
// knows here. A fish whose method was not understood would silently be in no
// comparison.
func (in *reading) askForWords() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		answers := c.field.answers()
		words := c.notUnderstood()
		if in.unreadCodes(c) {
			answers = conditionAnswers
		}
		if answers == "" || words == "" {
			continue
		}
		first := c.unreadWords()[0]
		if c.field == fieldRecaptured && parsesAbove(first, 5) {
			in.sheet.ask("%q counts fish: %s; here one line is one fish. Write one line a fish, or leave the column out with --column \"%s=-\"", c.Heading, words, c.Heading).column(c.Heading)
			continue
		}
		book := ""
		if c.book > 0 {
			book = fmt.Sprintf(" (see line %d of the file)", c.book)
		}
		in.sheet.ask("in %q (%s) these are not understood: %s; say of each what it means%s (%s, or - for not told): --value \"%s:%s=...\"", c.Heading, c.field.says(), words, book, answers, c.Heading, first).
			word(c, first).people("what does %q mean in %q (%s)? Lines that have it: %d", first, c.Heading, c.field.says(), c.unread[first])
	}
}

// conditionAnswers is what may be said of a code of the condition.
const conditionAnswers = "swam down, weak, floated, died or kept"

// unreadCodes is true for a column of fates that holds a few codes of which most are
// not understood, or what is left of such codes: kept only as a remark, what became of the
// fish would be lost.
func (in *reading) unreadCodes(c *Column) bool {
	if c.field != fieldCondition || c.again > 0 || len(c.unread) == 0 || !slices.ContainsFunc(plainWords(c.Heading), namesFate) {
		return false
	}
	told, unread := 0, 0
	kinds := map[string]bool{}
	for text := range in.told(c, line.raw) {
		told++
		kinds[spaced(text)] = true
	}
	for code, n := range c.unread {
		if len(code) > longestCode {
			return false
		}
		unread += n
	}
	return len(kinds) > 1 && len(kinds) <= mostMethods && (2*unread > told || in.valued(c))
}

// longestCode is how many bytes a code has at most; what is longer are words of its own.
const longestCode = 8

func parsesAbove(text string, limit int) bool {
	n, err := parseWhole(text)
	return err == nil && n > limit
}

// wordRead is a cell of a column of words, what it was read as, and in how many lines.
type wordRead struct {
	cell, meaning string
	lines         int
}

// countWords counts what the cells of the columns of words were read as, so that a
// wrong reading is seen.
func (in *reading) countWords() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.Says == "" || !c.field.ofWords() {
			continue
		}
		counts := map[string]int{}
		for _, l := range in.rows {
			counts[l.raw(c.index)]++
		}
		for _, cell := range slices.Sorted(maps.Keys(counts)) {
			text := cell
			if as, ok := in.saidOf(c, cell); ok {
				text = as
			}
			if meaning := c.reads(text); meaning != "" {
				c.words = append(c.words, wordRead{cell, meaning, counts[cell]})
			}
		}
		slices.SortStableFunc(c.words, func(a, b wordRead) int { return b.lines - a.lines })
	}
}

// ofWords is true for a field whose cells are words that reads knows.
func (f field) ofWords() bool {
	return f.answers() != "" || f == fieldCondition || f == fieldHook
}

// reads is what a cell says in a column that decides how a fish counts, "" for
// nothing.
func (c *Column) reads(text string) string {
	switch c.field {
	case fieldMethod:
		m, _ := methodTold(text)
		return m
	case fieldRecaptured:
		if m := c.event(text); m == "recapture" || m == "release" {
			return m
		}
		if said := c.recapturedIn(text); said != notTold {
			return yesOrNo(said == yesTold)
		}
		return ""
	case fieldVented, fieldRecompressed, fieldKept, fieldReleased:
		if yes, ok := known().answer(text); ok {
			return yesOrNo(yes)
		}
		return ""
	case fieldCondition:
		return strings.Join(conditionsIn(text), ", ")
	case fieldHook:
		m, _ := known().meaning("hook", text)
		return m
	default:
		return ""
	}
}

func yesOrNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// readingsShown is how many readings of a column are listed.
const readingsShown = 12

// readings lists what the cells of the column were read as.
func (c Column) readings() string {
	var list []string
	for _, w := range c.words[:min(len(c.words), readingsShown)] {
		_, value, named := strings.Cut(w.meaning, ":")
		if !named || strings.Contains(w.meaning, ", ") {
			value = w.meaning
		}
		list = append(list, fmt.Sprintf("%q is %s (%d)", w.cell, value, w.lines))
	}
	if more := len(c.words) - readingsShown; more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}
