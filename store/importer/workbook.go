package importer

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"sort"

	"github.com/xuri/excelize/v2"
)

// sharedInMemory is how much of one part of a workbook is unpacked in memory; more
// goes to a temporary file.
const sharedInMemory = 16 << 20

// readWorkbook reads the cells of one sheet of an XLSX file as they are kept, not
// as they are shown: a date shown as 3/4/25 is a day number inside, and that can
// be read in one way only.
func readWorkbook(data []byte, o Options, l limits) (t *table, err error) {
	defer func() {
		if p := recover(); p != nil { // the library meets files it was not made for
			t, err = nil, fmt.Errorf("%w (the workbook is damaged)", ErrNotATable)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: l.unzipped, UnzipXMLSizeLimit: min(l.unzipped, sharedInMemory), RawCellValue: true,
	})
	if err != nil {
		return nil, fmt.Errorf("%w (unpacked it may have %d bytes at most): %w", ErrNotATable, l.unzipped, err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	names, err := sheetNames(f, o.SheetName)
	if err != nil {
		return nil, err
	}
	since1904 := false
	if p, err := f.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		since1904 = *p.Date1904
	}
	var first *table
	for _, name := range names {
		one := &table{form: fmt.Sprintf("XLSX, sheet %q", name), sheet: name, serials: true, since1904: since1904}
		if err := one.readSheet(f, name, l); err != nil {
			return nil, err
		}
		if t == nil {
			t = one
		}
		_, ok := one.findHeadings(o.Columns)
		switch {
		case !ok && len(one.lines) > 0:
			one.unread = append(one.unread, name)
			if first != nil {
				first.unread = append(first.unread, name)
			}
		case !ok:
		case first == nil:
			first = one
			if t != one {
				first.unread = t.unread
			}
		default:
			if err := first.addSheet(one, o, l); err != nil {
				return nil, err
			}
		}
	}
	if first != nil {
		return first, nil
	}
	return t, nil
}

// addSheet takes another sheet of the workbook: its lines, where its headings are the same.
func (t *table) addSheet(other *table, o Options, l limits) error {
	if other.headings(o) != t.headings(o) {
		other.carryDays(o.Columns)
		t.others = append(t.others, other)
		return nil
	}
	t.together = append(t.together, other.sheet)
	at, _ := other.findHeadings(o.Columns)
	for _, one := range other.lines[at+1:] {
		one.sheet = other.sheet
		if err := t.add(one, l); err != nil {
			return err
		}
	}
	return nil
}

// sheetNames are the sheets to look through.
func sheetNames(f *excelize.File, wanted string) ([]string, error) {
	names := f.GetSheetList()
	switch {
	case len(names) == 0:
		return nil, fmt.Errorf("%w (the workbook has no sheet)", ErrNotATable)
	case wanted == "":
		return names, nil
	case !slices.Contains(names, wanted):
		return nil, fmt.Errorf("the workbook has no sheet %q; it has %q", wanted, names)
	default:
		return []string{wanted}, nil
	}
}

func (t *table) readSheet(f *excelize.File, name string, l limits) (err error) {
	rows, err := f.Rows(name)
	if err != nil {
		return fmt.Errorf("%w (sheet %q): %w", ErrNotATable, name, err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for n := 1; rows.Next(); n++ {
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return fmt.Errorf("sheet %q, row %d: %w", name, n, err)
		}
		if err := t.add(line{number: n, cells: cells}, l); err != nil {
			return err
		}
	}
	if err := rows.Error(); err != nil {
		return err
	}
	return t.fillMerged(f, name)
}

// mostMerged is how many lines a sheet has at most whose merged cells are looked up: the
// library then holds all of it. mostMerges is how many such cells are.
const mostMerged, mostMerges = 20_000, 5_000

// fillMerged writes what stands in a cell over several lines into each of them: the day of a
// trip beside its fish, or a heading over two lines.
func (t *table) fillMerged(f *excelize.File, name string) error {
	if len(t.lines) > mostMerged {
		return nil
	}
	merged, err := f.GetMergeCells(name)
	if err != nil {
		return fmt.Errorf("%w (sheet %q): %w", ErrNotATable, name, err)
	}
	for _, m := range merged[:min(len(merged), mostMerges)] {
		column, from, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		_, to, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil || err2 != nil {
			continue
		}
		at := t.after(from - 1)
		if at == len(t.lines) || t.lines[at].number != from {
			continue // nothing stands there
		}
		text := t.lines[at].raw(column - 1)
		for i := at + 1; i < len(t.lines) && t.lines[i].number <= to; i++ {
			t.lines[i].fill(column-1, text)
		}
	}
	return nil
}

// after is the place of the first line behind a number.
func (t *table) after(number int) int {
	return sort.Search(len(t.lines), func(i int) bool { return t.lines[i].number > number })
}

// fill writes a text into a cell that is empty.
func (l *line) fill(i int, text string) {
	if text == "" || l.raw(i) != "" {
		return
	}
	for len(l.cells) <= i {
		l.cells = append(l.cells, "")
	}
	l.cells[i] = text
}
