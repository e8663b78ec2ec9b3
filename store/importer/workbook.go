package importer

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

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
	for _, name := range names {
		t = &table{form: fmt.Sprintf("XLSX, sheet %q", name), serials: true, since1904: since1904}
		if err := t.readSheet(f, name, l); err != nil {
			return nil, err
		}
		if _, ok := t.findHeadings(o.Columns); ok {
			return t, nil
		}
	}
	return t, nil
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
	return rows.Error()
}
