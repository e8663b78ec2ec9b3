package advisor

import (
	"fmt"
	"iter"
	"strconv"
	"strings"
)

// Rows are the rows of a table that is compiled in, by their numbers from 0 on and without
// the names of its columns. A row is good until the next one; its cells stay. A fault in
// the table is a fault of the build, and the tests read every table.
func Rows[T string | []byte](name string, table T) iter.Seq2[int, []string] {
	return func(yield func(int, []string) bool) {
		n := -1
		for row, err := range rowsOf(string(table)) {
			if err != nil {
				panic("embedded table of " + name + ": " + err.Error())
			}
			if n >= 0 && !yield(n, row) {
				return
			}
			n++
		}
	}
}

// rowsOf are the rows of a table, the names of its columns first. The error is of a row
// that has not as many cells as those.
func rowsOf(table string) iter.Seq2[[]string, error] {
	return func(yield func([]string, error) bool) {
		var row []string
		var err error
		width := 0
		for line := range strings.Lines(table) {
			row, err = cellsOf(row[:0], strings.TrimSuffix(line, "\n"))
			if width == 0 {
				width = len(row)
			}
			if err == nil && len(row) != width {
				err = fmt.Errorf("row %q has %d cells of %d", line, len(row), width)
			}
			if !yield(row, err) || err != nil {
				return
			}
		}
	}
}

// cellsOf puts the cells of one line into row, by the rules of RFC 4180; no cell has a line
// end in it. It makes nothing anew but what has quotes inside quotes: the tables have
// sixty thousand lines, and an answer waits for them at the start.
func cellsOf(row []string, line string) ([]string, error) {
	for more := true; more; {
		var cell string
		if strings.HasPrefix(line, `"`) {
			end := closing(line)
			if end < 0 {
				return row, fmt.Errorf("a quote is left open: %q", line)
			}
			cell, line = strings.ReplaceAll(line[1:end], `""`, `"`), line[end+1:]
			if line, more = strings.CutPrefix(line, ","); !more && line != "" {
				return row, fmt.Errorf("a quote ends before its cell: %q", line)
			}
		} else {
			cell, line, more = strings.Cut(line, ",")
		}
		row = append(row, cell)
	}
	return row, nil
}

// closing is the place of the quote that ends a cell, which begins with one; -1 for none.
// Two in a row stand for one that is part of the cell.
func closing(line string) int {
	for i := 1; i < len(line); i++ {
		if line[i] != '"' {
			continue
		}
		if i+1 == len(line) || line[i+1] != '"' {
			return i
		}
		i++
	}
	return -1
}

// readRows hands each row of an embedded table to take, first row of cells the
// names of the columns. The error names the row and the column at fault.
func readRows[T string | []byte](table T, take func(*tableRow)) error {
	r, n := tableRow{}, 0
	for row, err := range rowsOf(string(table)) {
		if err != nil {
			return err
		}
		if n++; n == 1 {
			r.column = columnsOf(row)
			continue
		}
		r.row = row
		if take(&r); r.err != nil {
			return fmt.Errorf("row %d (%s): %w", n, row[0], r.err)
		}
	}
	return nil
}

// columnsOf are the columns of a table by name.
func columnsOf(names []string) map[string]int {
	columns := make(map[string]int, len(names))
	for i, name := range names {
		columns[name] = i
	}
	return columns
}

// mustReadRows is readRows for a table that is compiled in: a fault in it is a
// fault of the build, and the tests read every table.
func mustReadRows[T string | []byte](name string, table T, take func(*tableRow)) {
	if err := readRows(table, take); err != nil {
		panic("advisor: embedded table of " + name + ": " + err.Error())
	}
}

// tableRow reads the cells of one row by the name of their column and keeps the
// first fault.
type tableRow struct {
	row    []string
	column map[string]int
	err    error
}

// read takes one line, and keeps its fault.
func (r *tableRow) read(line string) {
	if r.row, r.err = cellsOf(r.row[:0], strings.TrimSuffix(line, "\n")); r.err == nil && len(r.row) != len(r.column) {
		r.err = fmt.Errorf("row %q has %d cells of %d", line, len(r.row), len(r.column))
	}
}

func (r *tableRow) text(name string) string {
	i, ok := r.column[name]
	if !ok {
		r.err = fmt.Errorf("no column %q", name)
		return ""
	}
	return strings.TrimSpace(r.row[i])
}

// list reads a cell of parts set off by semicolons.
func (r *tableRow) list(name string) []string {
	var list []string
	for part := range strings.SplitSeq(r.text(name), ";") {
		if part = strings.TrimSpace(part); part != "" {
			list = append(list, part)
		}
	}
	return list
}

// number reads a figure; an empty cell is 0.
func (r *tableRow) number(name string) float64 {
	cell := r.text(name)
	if cell == "" {
		return 0
	}
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("column %q: %w", name, err)
	}
	return x
}
