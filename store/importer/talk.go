package importer

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Talk reads one file with somebody who knows it: it asks one thing at a time, and each
// answer is seen in the rows at once. Nothing is kept by it.
type Talk struct {
	data    []byte
	name    string
	options Options
	sheet   *Sheet
	answers Answers
}

// NewTalk reads a file as far as the options and earlier answers say how.
func NewTalk(r io.Reader, name string, o Options, earlier Answers) (*Talk, error) {
	data, err := io.ReadAll(io.LimitReader(r, defaultLimits.bytes+1))
	if err != nil {
		return nil, fmt.Errorf("the file cannot be read: %w", err)
	}
	t := &Talk{data: data, name: name, options: o, answers: earlier}
	return t, t.read()
}

func (t *Talk) read() error {
	o := t.options
	t.answers.Fill(&o)
	sheet, err := Read(bytes.NewReader(t.data), t.name, o)
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
	before := t.answers
	t.answers = before.clone()
	if err = t.answers.Add(a); err == nil {
		err = t.read()
	}
	if err != nil {
		t.answers = before
	}
	return err
}

func (a Answers) clone() Answers {
	a.Columns, a.Values = under(nil, a.Columns), under(nil, a.Values)
	return a
}

// Preview are some rows as they are understood now, a line each: those that tell most,
// in the order of the file.
func (t *Talk) Preview(n int) (list []string) {
	type told struct {
		at    int
		lines []string
	}
	var rows []told
	for i, r := range t.sheet.Rows {
		if lines := r.lines(); len(lines) > 0 {
			rows = append(rows, told{i, lines})
		}
	}
	slices.SortStableFunc(rows, func(a, b told) int { return len(b.lines) - len(a.lines) })
	rows = rows[:min(n, len(rows))]
	slices.SortFunc(rows, func(a, b told) int { return a.at - b.at })
	for _, r := range rows {
		list = append(list, strings.Join(r.lines, "; then "))
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
