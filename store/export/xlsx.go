package export

import (
	"archive/zip"
	"errors"
	"io"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"
)

// The sheets of the workbook. A log with more reports than a sheet has rows goes
// on in "Log 2" and so on.
const (
	sheetLog         = "Log"
	sheetDefinitions = "Definitions"
)

// sheetRows is how many rows a sheet of a workbook has (ECMA-376).
const sheetRows = excelize.TotalRows

// cellText is how many characters a cell of a workbook holds (ECMA-376).
const cellText = excelize.TotalCellChars

// writeXLSX writes a workbook: the log with numbers as numbers, dates as dates and
// yes or no as such, and a sheet that explains each column. What does not fit in
// little memory is kept in a temporary file on the way.
func (j *job) writeXLSX(w io.Writer, reports Reports) (err error) {
	b := &book{File: excelize.NewFile(), job: j, rowsEach: sheetRows}
	// the library would gather the whole file in memory first
	b.SetZipWriter(func(io.Writer) excelize.ZipWriter { return zip.NewWriter(w) })
	defer func() { err = errors.Join(err, b.Close()) }()
	if err := b.prepare(); err != nil {
		return err
	}
	if err := b.writeLog(reports); err != nil {
		return err
	}
	if err := b.writeDefinitions(); err != nil {
		return err
	}
	return b.Write(w)
}

// book is a workbook being written.
type book struct {
	*excelize.File
	job        *job
	rowsEach   int
	date, bold int // styles

	sheet *excelize.StreamWriter
	n     int // sheets of the log so far
	used  int // rows of this sheet
	cells []any
	text  []byte
}

func (b *book) prepare() (err error) {
	if err := b.SetSheetName(b.GetSheetName(0), sheetLog); err != nil {
		return err
	}
	if b.date, err = b.NewStyle(&excelize.Style{CustomNumFmt: new("yyyy-mm-dd")}); err != nil {
		return err
	}
	b.bold, err = b.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	b.cells = make([]any, len(b.job.columns))
	return err
}

func (b *book) writeLog(reports Reports) error {
	if err := b.nextSheet(); err != nil {
		return err
	}
	for r, err := range reports {
		if err != nil {
			return err
		}
		if b.used == b.rowsEach {
			if err := b.nextSheet(); err != nil {
				return err
			}
		}
		if err := b.writeRow(b.job.of(r)); err != nil {
			return err
		}
	}
	return b.finish()
}

// nextSheet closes the sheet and begins another with the heading.
func (b *book) nextSheet() (err error) {
	name := sheetLog
	if b.sheet != nil {
		if err := b.finish(); err != nil {
			return err
		}
		name += " " + strconv.Itoa(b.n+1)
		if _, err := b.NewSheet(name); err != nil {
			return err
		}
	}
	if b.sheet, err = b.NewStreamWriter(name); err != nil {
		return err
	}
	b.n, b.used = b.n+1, 1
	if err := b.sheet.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	for i, c := range b.job.columns {
		if err := b.sheet.SetColWidth(i+1, i+1, c.width()); err != nil {
			return err
		}
		b.cells[i] = excelize.Cell{StyleID: b.bold, Value: c.Name}
	}
	return b.sheet.SetRow("A1", b.cells)
}

// finish puts filters on the columns of the sheet, and closes it.
func (b *book) finish() error {
	last, err := excelize.CoordinatesToCellName(len(b.job.columns), max(b.used, 2))
	if err != nil {
		return err
	}
	striped := false
	table := &excelize.Table{Range: "A1:" + last, Name: "Log" + strconv.Itoa(b.n), StyleName: "TableStyleLight1", ShowRowStripes: &striped}
	return errors.Join(b.sheet.AddTable(table), b.sheet.Flush())
}

// width is that of a column in characters: of its name with the button of the filter, and
// of what stands in it as a rule.
func (c *Column) width() float64 {
	wide := map[string]float64{"species": 26, "species_name": 22, "name_given": 22, "flags": 24, "signs": 24, "words": 40, "note": 40, "chat": 20, "angler": 18, "season": 16, "date": 12}
	return max(float64(len(c.Name)+4), wide[c.Name])
}

func (b *book) writeRow(x *row) error {
	for i := range b.job.columns {
		b.cells[i] = b.cell(&b.job.columns[i], x)
	}
	b.used++
	return b.sheet.SetRow("A"+strconv.Itoa(b.used), b.cells)
}

// cell is the value of a row in the type of its column; nil makes an empty cell.
func (b *book) cell(c *Column, x *row) any {
	switch c.Kind {
	case kindNumber:
		if v, ok := c.number(x); ok {
			return rounded(v)
		}
		return nil
	case kindYesNo:
		return c.yes(x)
	case kindDate:
		if x.dayUnknown() {
			return nil
		}
		year, month, day := x.CaughtAt.Date()
		return excelize.Cell{StyleID: b.date, Value: time.Date(year, month, day, 0, 0, 0, 0, time.UTC)}
	}
	b.text = c.text(b.text[:0], x)
	if len(b.text) == 0 {
		return nil
	}
	return fitting(string(withoutControls(b.text)))
}

// fitting is as much of a text as a cell holds.
func fitting(s string) string {
	if len(s) <= cellText {
		return s
	}
	runes := []rune(s)
	return string(runes[:min(len(runes), cellText)])
}

func (b *book) writeDefinitions() error {
	if _, err := b.NewSheet(sheetDefinitions); err != nil {
		return err
	}
	s, err := b.NewStreamWriter(sheetDefinitions)
	if err != nil {
		return err
	}
	if err := errors.Join(s.SetColWidth(1, 1, 24), s.SetColWidth(4, 4, 40), s.SetColWidth(5, 5, 90)); err != nil {
		return err
	}
	head := make([]any, len(definitionHead))
	for i, name := range definitionHead {
		head[i] = excelize.Cell{StyleID: b.bold, Value: name}
	}
	if err := s.SetRow("A1", head); err != nil {
		return err
	}
	for i, c := range b.job.columns {
		if err := s.SetRow("A"+strconv.Itoa(i+2), []any{c.Name, c.Kind, c.Unit, c.Values, c.Meaning}); err != nil {
			return err
		}
	}
	return s.Flush()
}

// definitionHead heads the table that explains the columns.
var definitionHead = [...]string{"column", "kind", "unit", "values", "meaning"}
