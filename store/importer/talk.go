package importer

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Talk reads one file with somebody who knows it: it asks one thing at a time, and each
// answer is seen in the rows at once. Nothing is kept by it.
type Talk struct {
	table   *table
	name    string
	options Options
	sheet   *Sheet
	answers Answers
}

// NewTalk reads a file as far as the options say how, and what was answered before about
// its headings; earlier is nil where nothing was.
func NewTalk(r io.Reader, name string, o Options, earlier func(headings string) Answers) (*Talk, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	table, err := openTable(r, o, o.Limits.within(defaultLimits))
	if err != nil {
		return nil, err
	}
	t := &Talk{table: table, name: name, options: o}
	if earlier != nil {
		t.answers = earlier(table.headings(o))
	}
	return t, t.read()
}

func (t *Talk) read() error {
	o := t.options
	t.answers.Fill(&o)
	o, err := o.checked()
	if err != nil {
		return err
	}
	sheet, err := t.table.understand(t.name, o)
	if err == nil {
		t.sheet = sheet
	}
	return err
}

// Sheet is the file as it is understood now.
func (t *Talk) Sheet() *Sheet { return t.sheet }

// Answers are those so far, earlier ones among them.
func (t *Talk) Answers() Answers { return t.answers }

// Next is what is to be asked now, nil when nothing is open.
func (t *Talk) Next() *Question {
	if len(t.sheet.Questions) == 0 {
		return nil
	}
	return t.sheet.Questions[0]
}

// Answer settles the question that is asked now, by the number of a choice, its label, or
// own words. The error says what may be answered; then all is as before.
func (t *Talk) Answer(text string) error {
	a, err := t.Next().Settle(text)
	if err != nil {
		return err
	}
	return t.Add(a)
}

// Add takes an answer in. One after which nothing more could be answered, as words that
// are no meaning of a column, is refused; then all is as before.
func (t *Talk) Add(a Answer) error {
	before, asked := *t, t.sheet.asked()
	t.answers = before.answers.clone()
	err := t.answers.Add(a)
	if err == nil {
		err = t.read()
	}
	if err == nil {
		for _, q := range t.sheet.Questions {
			if len(q.Choices) == 0 && q.Own == nil && !slices.Contains(asked, q.Text) {
				err = fmt.Errorf("%w: %s", ErrOption, q.Asks())
			}
		}
		if means := t.sheet.meansNothing(a); means != "" {
			err = fmt.Errorf("%q is none of %s", a.Value, means)
		}
	}
	if err != nil {
		*t = before
	}
	return err
}

// meansNothing are the words that would mean something, for an answer that says of a cell
// what nobody knows either; else "".
func (s *Sheet) meansNothing(a Answer) string {
	for _, c := range s.Columns {
		cell, ok := strings.CutPrefix(a.Key, c.Heading+":")
		if a.Setting == SettingValue && ok && cell != "" && c.unread[a.Value] > 0 {
			if c.field == fieldCondition && slices.ContainsFunc(plainWords(c.Heading), namesFate) {
				return conditionAnswers
			}
			return c.field.answers()
		}
	}
	return ""
}

func (a Answers) clone() Answers {
	a.Columns, a.Values, a.Sheets = under(nil, a.Columns), under(nil, a.Values), under(nil, a.Sheets)
	return a
}

// Telling are some rows as they are understood now: those with most reports, in the order
// of the file.
func (t *Talk) Telling(n int) (list []Row) {
	for most := mostRecaptures + 1; most > 0 && len(list) < n; most-- {
		for _, r := range t.sheet.Rows {
			if min(len(r.Entries), mostRecaptures+1) == most && len(list) < n {
				list = append(list, r)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Row) int { return a.Line - b.Line })
	return list
}

// Preview are such rows, a line each.
func (t *Talk) Preview(n int) (list []string) {
	for _, r := range t.Telling(n) {
		list = append(list, strings.Join(r.lines(), "; then "))
	}
	return list
}

// lines is what the dry run says of a row.
func (r Row) lines() (list []string) {
	for i, e := range r.Entries {
		text := describe(e.Report)
		if i == 0 {
			text = fmt.Sprintf("line %d%s: %s", r.Line, r.of(), text)
		}
		list = append(list, text)
	}
	return list
}

// Headings name the columns of the file, in order: files that have the same are read by
// the same answers.
func (s *Sheet) Headings() string {
	var list []string
	for _, c := range s.Columns {
		list = append(list, spaced(c.Heading))
	}
	return strings.Join(list, " | ")
}

// headings are those of the file before it is understood, "" where none are found.
func (t *table) headings(o Options) string {
	s := new(Sheet)
	if at, ok := t.findHeadings(o.Columns); ok {
		for i := range t.lines[at].cells {
			s.Columns = append(s.Columns, Column{Heading: t.lines[at].cell(i)})
		}
	}
	return s.Headings()
}
