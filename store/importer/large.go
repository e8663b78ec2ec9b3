package importer

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
)

// Large is a CSV file of more lines than are read at once. It is read in parts under the
// same headings, twice: once to ask what is open and to see that all parts are understood
// alike, and again to be kept. Memory holds one part, and a few bytes a line.
//
// What it cannot see: a release that is repeated in another part is counted again.
type Large struct {
	open    func() (io.ReadCloser, error)
	name    string
	options Options
	answers Answers

	// Tally and Problems are of all parts that were taken.
	Tally    Tally
	Problems []Problem
	Notes    []Said
	// First and Last are the first and the last day of its reports.
	First, Last time.Time
	reading     string
	line        int // where the part begins that was read so
	seen        *seen
	rows        int // of a part
}

// NewLarge readies a file that can be opened more than once.
func NewLarge(open func() (io.ReadCloser, error), name string, o Options, earlier func(headings string) Answers) (*Large, error) {
	l := &Large{open: open, name: name, options: o, rows: linesOfPart}
	if earlier == nil {
		return l, nil
	}
	err := l.parts(func(p part) error {
		t, err := openTable(bytes.NewReader(p.data), o, defaultLimits)
		if err == nil {
			l.answers = earlier(t.headings(o))
			err = errEnough
		}
		return err
	})
	return l, notEnough(err)
}

// Answers are what was said of the file.
func (l *Large) Answers() Answers { return l.answers }

// Look reads the whole file and hands each part to ask, which settles its questions or
// returns why not. Where something was settled, what came before is read again by it.
func (l *Large) Look(ask func(*Talk) error) error {
	for {
		before := l.answers
		if err := l.look(ask); err != nil {
			return err
		}
		if fmt.Sprint(before) == fmt.Sprint(l.answers) {
			return nil
		}
	}
}

func (l *Large) look(ask func(*Talk) error) error {
	l.Tally, l.Problems, l.Notes, l.reading, l.seen = Tally{}, nil, nil, "", newSeen()
	return l.talks(func(t *Talk, p part) error {
		if err := ask(t); err != nil {
			return err
		}
		l.answers = t.answers
		return l.take(t.sheet, p)
	})
}

// talks reads the parts one after the other, each knowing of those before it; the next is
// cut into cells meanwhile.
func (l *Large) talks(do func(*Talk, part) error) error {
	seen := l.seen
	o, err := l.options.checked()
	if err != nil {
		return err
	}
	o.seen = seen
	return ahead(l.tables, func(p part) error {
		seen.begin()
		t := &Talk{table: p.table, name: l.name, options: o, answers: l.answers}
		if err := t.read(); err != nil {
			return err
		}
		if err := do(t, p); err != nil {
			return err
		}
		seen.keep(t.sheet)
		return nil
	})
}

// tables cuts the file and its parts into cells.
func (l *Large) tables(do func(part) error) error {
	return l.parts(func(p part) (err error) {
		if p.table, err = openTable(bytes.NewReader(p.data), l.options, defaultLimits); err != nil {
			return err
		}
		p.data = nil
		return do(p)
	})
}

// ahead runs walk a step before do, on a goroutine of its own that has ended when ahead
// returns. It ends with the first error of either.
func ahead[T any](walk func(give func(T) error) error, do func(T) error) (err error) {
	steps, stop, ended := make(chan T), make(chan struct{}), make(chan error, 1)
	go func() {
		defer close(steps)
		ended <- walk(func(step T) error {
			select {
			case steps <- step:
				return nil
			case <-stop:
				return errEnough
			}
		})
	}()
	for step := range steps {
		if err != nil {
			continue // it was on its way already
		}
		if err = do(step); err != nil {
			close(stop)
		}
	}
	return errors.Join(err, notEnough(<-ended))
}

// take adds a part to what is known of the whole, if it was read as those before it.
func (l *Large) take(s *Sheet, p part) error {
	if l.reading != "" && l.reading != s.reading {
		return fmt.Errorf("%w: the lines from %d on are read in another way than those from %d on (%s; before: %s); say which is right with --column, --dates or --recaptures",
			ErrAsk, p.from, l.line, s.reading, l.reading)
	}
	l.reading, l.line = s.reading, cmp.Or(l.line, p.from)
	n := s.Tally()
	l.Tally = Tally{l.Tally.Lines + n.Lines, l.Tally.Understood + n.Understood, l.Tally.Left + n.Left, l.Tally.Reports + n.Reports, l.Tally.Recaptures + n.Recaptures}
	p.renumber(s)
	for e := range s.Entries() {
		if at := e.Report.CaughtAt; l.First.IsZero() || at.Before(l.First) {
			l.First = at
		}
		if at := e.Report.CaughtAt; at.After(l.Last) {
			l.Last = at
		}
	}
	for one := range s.Problems() {
		if len(l.Problems) < problemsShown {
			l.Problems = append(l.Problems, one)
		}
	}
	for _, note := range s.Notes {
		if !slices.ContainsFunc(l.Notes, func(o Said) bool { return o.format == note.format }) {
			l.Notes = append(l.Notes, note)
		}
	}
	return nil
}

// Sheets reads the file again, after Look, and hands out each part as a sheet, to be kept
// while the next is read.
// The first line of each tag is known by then, wherever it stands.
func (l *Large) Sheets(do func(*Sheet) error) error {
	l.seen.forgetCounts()
	return ahead(func(give func(*Sheet) error) error {
		return l.talks(func(t *Talk, p part) error {
			p.renumber(t.sheet)
			return give(t.sheet)
		})
	}, do)
}

// WriteSummary tells what was understood of the file as a whole.
func (l *Large) WriteSummary(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s (read in parts): %d lines, %d understood (%d reports), %d with problems\n", l.name, l.Tally.Lines, l.Tally.Understood, l.Tally.Reports, l.Tally.Left)
	fmt.Fprintf(b, "  %s\n", l.reading)
	for _, note := range l.Notes {
		fmt.Fprintf(b, "Note, in some part: %s\n", note)
	}
	for _, p := range l.Problems {
		fmt.Fprintf(b, "Problem: %s\n", p)
	}
	if more := l.Tally.Left - len(l.Problems); more > 0 {
		fmt.Fprintf(b, "and %d more lines with problems\n", more)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// part is some lines of a file under its headings, as bytes or as cells.
type part struct {
	data  []byte
	table *table
	// head is how many lines stand above them, from is the line of the file that the first
	// of them is.
	head, from int
}

// renumber gives the rows of a part their lines in the file.
func (p part) renumber(s *Sheet) {
	off := p.from - p.head - 1
	for i := range s.Rows {
		r := &s.Rows[i]
		r.Line += off
		for k := range r.Problems {
			r.Problems[k].Line += off
		}
	}
}

// linesOfPart is how many lines a part has; headBytes how much of a file is looked at for
// its headings.
const (
	linesOfPart = 8_000
	headBytes   = 256 << 10
)

// parts cuts the file.
func (l *Large) parts(do func(part) error) error {
	f, err := l.open()
	if err != nil {
		return err
	}
	defer f.Close()
	r := bufio.NewReaderSize(f, headBytes)
	top, _ := r.Peek(headBytes)
	head, lines, err := headOf(top, l.options)
	if err != nil {
		return err
	}
	if _, err := r.Discard(len(head)); err != nil {
		return err
	}
	for from := lines + 1; ; {
		data, n, err := nextLines(r, slices.Clone(head), l.rows)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if n > 0 {
			if err := do(part{data: data, head: lines, from: from}); err != nil {
				return err
			}
		}
		if err != nil {
			return nil
		}
		from += n
	}
}

// headOf is what stands above the rows: to the headings, and the units below them.
func headOf(top []byte, o Options) (head []byte, lines int, err error) {
	end := bytes.LastIndexByte(top, '\n')
	if end < 0 || bytes.IndexByte(top, 0) >= 0 {
		return nil, 0, fmt.Errorf("%w (in parts only CSV in UTF-8 or Windows-1252 is read)", ErrTooLarge)
	}
	t, err := tableOf(top[:end+1], o, defaultLimits)
	if err != nil {
		return nil, 0, err
	}
	at, ok := t.findHeadings(o.Columns)
	if !ok {
		return nil, 0, ErrNoHeadings
	}
	lines = t.lines[at].number
	if at+1 < len(t.lines) && t.lines[at+1].onlyUnits() {
		lines = t.lines[at+1].number
	}
	n := 0
	for range lines {
		n += bytes.IndexByte(top[n:], '\n') + 1
	}
	return bytes.Clone(top[:n]), lines, nil
}

// nextLines adds whole records to data: a line end within quotes ends none, unless the
// quotes stay open for longer than a cell may be.
func nextLines(r *bufio.Reader, data []byte, most int) (_ []byte, n int, err error) {
	open, since := false, 0
	for n < most || open {
		line, err := r.ReadSlice('\n')
		data = append(data, line...)
		if errors.Is(err, bufio.ErrBufferFull) {
			return data, n, tooLarge("bytes in a line", headBytes)
		}
		if len(line) > 0 {
			n++
			since += len(line)
			if bytes.Count(line, []byte{'"'})%2 == 1 {
				open = !open
			}
			if !open || since > defaultLimits.cell {
				open, since = false, 0
			}
		}
		if err != nil {
			return data, n, err
		}
	}
	return data, n, nil
}

// notEnough is nil where a walk was ended because it had gone far enough.
func notEnough(err error) error {
	if errors.Is(err, errEnough) {
		return nil
	}
	return err
}
