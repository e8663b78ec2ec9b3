package importer

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
)

// table is a file as cells, before anything is understood.
type table struct {
	// form says how the file is written, for people.
	form string
	// origin names the content of the file.
	origin string
	lines  []line
	// serials is true when dates may be day numbers, as in a workbook; since1904
	// when those count from 1904.
	serials, since1904 bool
	// sheet is the name of the sheet that was read first; others are those of the workbook
	// that have headings of their own, unread those without any.
	sheet  string
	others []*table
	unread []string
	// together are the sheets with the same headings, whose lines are among these.
	together []string
	// carried is true where the days stood on lines of their own; they are in a last column.
	carried *line
}

// line is one row of the file; number is its place there, from 1.
type line struct {
	number int
	// sheet is the sheet of the workbook that it is in, "" for the first that is read.
	sheet string
	cells []string
	// said are the cells that are read as something else, by their place.
	said map[int]string
}

// cell is what the i-th cell is read as, without blanks around, "" beyond the end.
func (l line) cell(i int) string {
	if text, ok := l.said[i]; ok {
		return text
	}
	return l.raw(i)
}

// raw is the i-th cell as it stands in the file.
func (l line) raw(i int) string {
	if i < 0 || i >= len(l.cells) {
		return ""
	}
	return strings.TrimSpace(l.cells[i])
}

func (l line) empty() bool {
	for i := range l.cells {
		if l.raw(i) != "" {
			return false
		}
	}
	return true
}

// limits bound what is read, so that no file exhausts the machine.
type limits struct {
	bytes, unzipped int64
	rows, columns   int
	cell            int // bytes
}

// Limits bound a file: its bytes, as sent and unpacked, and its lines.
type Limits struct {
	Bytes, Unpacked int64
	Rows            int
}

// within are the limits with those that are set.
func (l Limits) within(other limits) limits {
	other.bytes, other.unzipped, other.rows = cmp.Or(l.Bytes, other.bytes), cmp.Or(l.Unpacked, other.unzipped), cmp.Or(l.Rows, other.rows)
	return other
}

var defaultLimits = limits{bytes: 64 << 20, unzipped: 256 << 20, rows: 200_000, columns: 512, cell: 32 << 10}

func tooLarge(what string, limit int64) error {
	return fmt.Errorf("%w (at most %d %s)", ErrTooLarge, limit, what)
}

// openTable reads the cells of a file, whatever form it has; the name says nothing.
func openTable(r io.Reader, o Options, l limits) (*table, error) {
	data, err := io.ReadAll(io.LimitReader(r, l.bytes+1))
	if err != nil {
		return nil, fmt.Errorf("the file cannot be read: %w", err)
	}
	if int64(len(data)) > l.bytes {
		return nil, tooLarge("bytes", l.bytes)
	}
	t, err := tableOf(data, o, l)
	if err != nil {
		return nil, err
	}
	t.carryDays(o.Columns)
	sum := sha256.Sum256(data)
	t.origin = "import-" + hex.EncodeToString(sum[:4])
	return t, nil
}

// oldWorkbook begins the files of spreadsheets before XLSX.
var oldWorkbook = []byte{0xD0, 0xCF, 0x11, 0xE0}

func tableOf(data []byte, o Options, l limits) (*table, error) {
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return readWorkbook(data, o, l)
	case bytes.HasPrefix(data, oldWorkbook):
		return nil, fmt.Errorf("%w (this is an older or a locked workbook)", ErrNotATable)
	default:
		return readText(data, l)
	}
}

// add takes a line in, within the limits.
func (t *table) add(n line, l limits) error {
	if n.empty() {
		return nil
	}
	if len(t.lines) == l.rows {
		return tooLarge("rows", int64(l.rows))
	}
	if len(n.cells) > l.columns {
		return fmt.Errorf("line %d: %w", n.number, tooLarge("columns", int64(l.columns)))
	}
	for _, c := range n.cells {
		if len(c) > l.cell {
			return fmt.Errorf("line %d: a cell has more than %d bytes: is a quotation mark open?", n.number, l.cell)
		}
	}
	t.lines = append(t.lines, n)
	return nil
}
