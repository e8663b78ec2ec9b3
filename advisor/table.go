package advisor

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// Rows are the rows of a table that is compiled in, without the names of its columns. A
// fault in it is a fault of the build, and the tests read every table.
func Rows(name string, table []byte) [][]string {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic("embedded table of " + name + ": " + err.Error())
	}
	return rows[1:]
}

// readRows hands each row of an embedded table to take, first row of cells the
// names of the columns. The error names the row and the column at fault.
func readRows(table []byte, take func(*tableRow)) error {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		return err
	}
	column := make(map[string]int, len(rows[0]))
	for i, name := range rows[0] {
		column[name] = i
	}
	for n, row := range rows[1:] {
		r := tableRow{row: row, column: column}
		if take(&r); r.err != nil {
			return fmt.Errorf("row %d (%s): %w", n+2, row[0], r.err)
		}
	}
	return nil
}

// mustReadRows is readRows for a table that is compiled in: a fault in it is a
// fault of the build, and the tests read every table.
func mustReadRows(name string, table []byte, take func(*tableRow)) {
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
