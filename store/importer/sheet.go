package importer

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"

	"deepward/store/catch"
)

// Sheet is a file, understood.
type Sheet struct {
	// Name is the name of the file as given; Form how it is written.
	Name, Form string
	// Columns are all columns, in order.
	Columns []Column
	// Rows are the rows below the headings, in order, with what was understood.
	Rows []Row
	// Questions are what can be read in two ways, each with how to say which. While
	// there is one, the rows are not complete.
	Questions []*Question
	// Notes are what was decided on the way, worth a look.
	Notes []Said
	// reading is how the columns were understood, to compare parts of one file by; firsts
	// are the first lines of its tags, where later ones may be recaptures.
	reading string
	firsts  map[string]firstLine
}

// Row is one row of the file.
type Row struct {
	// File is the name of the file, or of the sheet of the workbook, that it is in; "" for
	// that which was read first.
	File string
	// Line is its place in the file, from 1.
	Line int
	// Entries are the fish in it: none when it has problems, two when it holds a
	// release and its recapture.
	Entries []Entry
	// Problems are why it cannot be taken.
	Problems []Problem
	// Notes are doubts; the row is taken all the same.
	Notes []string
}

// Entry is one report and its identity.
type Entry struct {
	// ID is made from what the row says, not from the file: the same row read again,
	// from another file or in another order of columns, has the same.
	ID     string
	Report *catch.Report
}

// Problem is why a row cannot be taken.
type Problem struct {
	// File is as that of its row.
	File          string
	Line          int
	Column, Value string
	// Says is what is wrong, to follow on the value.
	Says Said
}

// String is one line, with the flags that mend it.
func (p Problem) String() string {
	return fmt.Sprintf("line %d%s%s", p.Line, ofFile(p.File), p.said(p.Says.String()))
}

// In is the problem in a language without its flags, to follow on the word for the line
// and its number.
func (p Problem) In(language string) string {
	sheet := ""
	if p.File != "" {
		sheet = " (" + p.File + ")"
	}
	return sheet + p.said(p.Says.In(language))
}

func (p Problem) said(says string) string {
	switch {
	case p.Column == "":
		return ": " + says
	case p.Value == "":
		return fmt.Sprintf(", %s: %s", p.Column, says)
	default:
		return fmt.Sprintf(", %s: %q %s", p.Column, p.Value, says)
	}
}

// Problems walks the problems of all rows.
func (s *Sheet) Problems() iter.Seq[Problem] {
	return func(yield func(Problem) bool) {
		for _, r := range s.Rows {
			for _, p := range r.Problems {
				if !yield(p) {
					return
				}
			}
		}
	}
}

// Entries walks the reports of all rows that have no problem.
func (s *Sheet) Entries() iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for _, r := range s.Rows {
			for _, e := range r.Entries {
				if !yield(e) {
					return
				}
			}
		}
	}
}

// Ready is nil when everything was understood, ErrAsk when something must be said
// first, and ErrProblems when rows would be left out.
func (s *Sheet) Ready() error {
	if err := s.Asked(); err != nil {
		return err
	}
	for p := range s.Problems() {
		return fmt.Errorf("%w, the first being %s; mend them in the file, or leave them out with --skip-problems", ErrProblems, p)
	}
	return nil
}

// Asked is ErrAsk when something must be said first, else nil.
func (s *Sheet) Asked() error {
	if len(s.Questions) > 0 {
		return fmt.Errorf("%w: %s", ErrAsk, strings.Join(s.asked(), "; "))
	}
	return nil
}

// note adds a remark about the whole sheet.
func (s *Sheet) note(format string, args ...any) {
	s.Notes = append(s.Notes, Said{format, args})
}

// ask adds a question.
func (s *Sheet) ask(format string, args ...any) *Question {
	said := Said{format, args}
	q := &Question{Text: said.String(), said: said}
	s.Questions = append(s.Questions, q)
	return q
}

// asked are the texts of the questions.
func (s *Sheet) asked() (list []string) {
	for _, q := range s.Questions {
		list = append(list, q.Text)
	}
	return list
}

// WriteSummary tells what was understood of the file as a whole: the columns, what
// was decided, questions, and the first problems by line.
func (s *Sheet) WriteSummary(w io.Writer) error {
	b := &strings.Builder{}
	n := s.Tally()
	fmt.Fprintf(b, "%s (%s): %d lines, %d understood (%d reports), %d with problems\n", s.Name, s.Form, n.Lines, n.Understood, n.Reports, n.Left)
	s.writeColumns(b)
	for _, text := range s.asked() {
		fmt.Fprintf(b, "Please say: %s\n", text)
	}
	for _, note := range s.Notes {
		fmt.Fprintf(b, "Note: %s\n", note)
	}
	s.writeProblems(b)
	_, err := io.WriteString(w, b.String())
	return err
}

func (s *Sheet) writeColumns(b *strings.Builder) {
	var unused []string
	for _, c := range s.Columns {
		if c.Says == "" && c.nothing {
			continue
		}
		if c.Says == "" {
			unused = append(unused, fmt.Sprintf("%q", c.Heading))
			continue
		}
		fmt.Fprintf(b, "  %q: %s\n", c.Heading, c.Says)
		if words := c.readings(); words != "" {
			fmt.Fprintf(b, "      %s\n", words)
		}
		if words := c.notUnderstood(); words != "" && c.field.answers() == "" {
			fmt.Fprintf(b, "      not understood and kept as a remark: %s; to say what one means: --value \"%s:%s=...\"\n", words, c.Heading, c.unreadWords()[0])
		}
	}
	if len(unused) > 0 {
		fmt.Fprintf(b, "  not used, and not kept: %s; to use one, say what it is: --column 'HEADING=...', in the words of a heading such as depth ft, or remark\n", strings.Join(unused, ", "))
	}
}

// wordsShown is how many words that were not understood are listed of a column,
// problemsShown how many problems.
const (
	wordsShown    = 8
	problemsShown = 20
)

// unreadWords are the words of the column's cells that said nothing, the most
// frequent first.
func (c Column) unreadWords() []string {
	words := make([]string, 0, len(c.unread))
	for w := range c.unread {
		words = append(words, w)
	}
	slices.SortFunc(words, func(a, b string) int {
		if c.unread[a] != c.unread[b] {
			return c.unread[b] - c.unread[a]
		}
		return strings.Compare(a, b)
	})
	return words
}

// notUnderstood lists those words with their number of lines.
func (c Column) notUnderstood() string {
	words := c.unreadWords()
	more := ""
	if len(words) > wordsShown {
		words, more = words[:wordsShown], fmt.Sprintf(" and %d more", len(words)-wordsShown)
	}
	for i, w := range words {
		words[i] = fmt.Sprintf("%q (%d)", w, c.unread[w])
	}
	return strings.Join(words, ", ") + more
}

func (s *Sheet) writeProblems(b *strings.Builder) {
	n := 0
	for p := range s.Problems() {
		if n++; n <= problemsShown {
			fmt.Fprintf(b, "Problem: %s\n", p)
		}
	}
	if n > problemsShown {
		fmt.Fprintf(b, "and %d more problems\n", n-problemsShown)
	}
}

// of names the file of a row that is in another than the sheet.
func (r Row) of() string { return ofFile(r.File) }

func ofFile(name string) string {
	if name == "" {
		return ""
	}
	return " of " + name
}

// WriteRows tells row by row what was understood: the dry run.
func (s *Sheet) WriteRows(w io.Writer) error {
	for _, r := range s.Rows {
		b := &strings.Builder{}
		for _, e := range r.Entries {
			fmt.Fprintf(b, "line %d%s: %s\n", r.Line, r.of(), describe(e.Report))
		}
		for _, p := range r.Problems {
			fmt.Fprintf(b, "problem in %s\n", p)
		}
		for _, n := range r.Notes {
			fmt.Fprintf(b, "   note: %s\n", n)
		}
		if _, err := io.WriteString(w, b.String()); err != nil {
			return err
		}
	}
	return nil
}

// Tally counts what came of the lines of a sheet.
type Tally struct {
	// Lines are all lines, Understood those that can be kept, Left those with problems.
	Lines, Understood, Left int
	// Reports are those that would be kept; Recaptures those of them that are one.
	Reports, Recaptures int
}

// Tally counts the lines of the sheet.
func (s *Sheet) Tally() (n Tally) {
	n.Lines = len(s.Rows)
	for _, r := range s.Rows {
		if len(r.Entries) > 0 {
			n.Understood++
		}
		if len(r.Problems) > 0 {
			n.Left++
		}
		for _, e := range r.Entries {
			n.Reports++
			if e.Report.Recapture {
				n.Recaptures++
			}
		}
	}
	return n
}
