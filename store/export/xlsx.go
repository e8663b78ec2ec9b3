package export

import (
	"errors"
	"io"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"
)

// The sheets of the workbook.
const (
	sheetLog         = "Log"
	sheetDefinitions = "Definitions"
)

// writeXLSX writes a workbook: the log with numbers as numbers and dates as
// dates, and a sheet that explains each column.
func writeXLSX(w io.Writer, reports Reports, o *Options) (err error) {
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := f.SetSheetName(f.GetSheetName(0), sheetLog); err != nil {
		return err
	}
	date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		return err
	}
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	if err := writeLogSheet(f, reports, o, date, bold); err != nil {
		return err
	}
	if err := writeDefinitions(f, bold); err != nil {
		return err
	}
	return f.Write(w)
}

func writeLogSheet(f *excelize.File, reports Reports, o *Options, date, bold int) error {
	s, err := f.NewStreamWriter(sheetLog)
	if err != nil {
		return err
	}
	if err := s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	columns := Columns()
	row := make([]any, len(columns))
	for i, c := range columns {
		row[i] = excelize.Cell{StyleID: bold, Value: c.Name}
	}
	if err := s.SetRow("A1", row); err != nil {
		return err
	}
	n := 1
	for r, err := range reports {
		if err != nil {
			return err
		}
		n++
		for i, c := range columns {
			row[i] = typed(c.Kind, c.append(nil, r, o), date)
		}
		if err := s.SetRow("A"+strconv.Itoa(n), row); err != nil {
			return err
		}
	}
	return s.Flush()
}

// typed makes a cell of the column's kind; an empty value an empty cell.
func typed(kind string, value []byte, date int) any {
	if len(value) == 0 {
		return nil
	}
	switch kind {
	case "number":
		if x, err := strconv.ParseFloat(string(value), 64); err == nil {
			return x
		}
	case "yesno":
		return string(value) == "yes"
	case "date":
		if t, err := time.Parse(time.DateOnly, string(value)); err == nil {
			return excelize.Cell{StyleID: date, Value: t}
		}
	}
	return string(value)
}

func writeDefinitions(f *excelize.File, bold int) error {
	if _, err := f.NewSheet(sheetDefinitions); err != nil {
		return err
	}
	s, err := f.NewStreamWriter(sheetDefinitions)
	if err != nil {
		return err
	}
	if err := s.SetColWidth(1, 1, 24); err != nil {
		return err
	}
	if err := s.SetColWidth(4, 4, 90); err != nil {
		return err
	}
	head := []any{}
	for _, name := range []string{"column", "kind", "unit", "meaning"} {
		head = append(head, excelize.Cell{StyleID: bold, Value: name})
	}
	if err := s.SetRow("A1", head); err != nil {
		return err
	}
	for i, c := range Columns() {
		if err := s.SetRow("A"+strconv.Itoa(i+2), []any{c.Name, c.Kind, c.Unit, c.Meaning}); err != nil {
			return err
		}
	}
	return s.Flush()
}
