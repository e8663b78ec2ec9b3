package export

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"

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

// writeXLSX writes a workbook: the log with numbers as numbers, dates as dates and
// yes or no as such, and a sheet that explains each column. The rows are written here,
// one behind the other; all around them is the library's.
func (j *job) writeXLSX(w io.Writer, reports Reports) error {
	return j.writeBook(w, reports, sheetRows)
}

func (j *job) writeBook(w io.Writer, reports Reports, rowsEach int) error {
	b := &book{job: j, zip: newZip(w), rowsEach: rowsEach}
	if err := b.prepare(); err != nil {
		return err
	}
	if err := b.writeLog(reports); err != nil {
		return err
	}
	if err := b.writeRest(); err != nil {
		return err
	}
	return b.zip.Close()
}

// book is a workbook being written.
type book struct {
	job      *job
	zip      *zip.Writer
	rowsEach int
	// frames are those of the first sheet of the log and of the others: only the first is
	// selected, for what is done in a sheet is done in all that are.
	frames  [2]frame
	letters []string // of the columns
	date    string   // the style of a day

	frame frame // of this sheet
	out   *behind
	page  []byte
	// rows are those of each sheet of the log so far, with the heading.
	rows []int
}

// frame is what stands around the rows of a sheet.
type frame struct{ head, tail []byte }

// prepare has the library write a log without reports, to take what stands around the rows.
func (b *book) prepare() error {
	for i := range b.job.columns {
		name, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		b.letters = append(b.letters, name)
	}
	parts := partsOf{}
	if err := b.writeFrame([]int{2, 2}, parts); err != nil {
		return err
	}
	for n := range b.frames {
		sheet := parts[sheetPath(n)]
		if sheet == nil {
			return errors.New("the workbook has no sheet for the log")
		}
		at := bytes.Index(sheet.Bytes(), []byte("</sheetData>"))
		if at < 0 {
			return errors.New("the sheet of the log has no place for rows")
		}
		b.frames[n] = frame{sheet.Bytes()[:at], sheet.Bytes()[at:]}
	}
	return nil
}

// sheetPath is where the n-th sheet of the log is in the workbook, from 0.
func sheetPath(n int) string { return "xl/worksheets/sheet" + strconv.Itoa(n+1) + ".xml" }

func (b *book) writeLog(reports Reports) (err error) {
	if err := b.nextSheet(); err != nil {
		return err
	}
	defer func() {
		if closed := b.out.Close(); err == nil {
			err = closed
		}
	}()
	for r, err := range reports {
		if err == nil && b.rows[len(b.rows)-1] == b.rowsEach {
			err = b.nextSheet()
		}
		if err == nil {
			err = b.writeRow(b.job.of(r))
		}
		if err != nil {
			return err
		}
	}
	return b.finish()
}

// nextSheet closes the sheet and begins another with the heading.
func (b *book) nextSheet() error {
	if b.out != nil {
		if err := b.finish(); err != nil {
			return err
		}
	}
	entry, err := b.zip.Create(sheetPath(len(b.rows)))
	if err != nil {
		return err
	}
	b.out = newBehind(entry)
	b.frame = b.frames[min(len(b.rows), 1)]
	b.rows = append(b.rows, 1)
	b.page = append(b.page[:0], b.frame.head...)
	return nil
}

// finish ends the sheet.
func (b *book) finish() error {
	if _, err := b.out.Write(append(b.page, b.frame.tail...)); err != nil {
		return err
	}
	return b.out.Close()
}

func (b *book) writeRow(x *row) (err error) {
	b.rows[len(b.rows)-1]++
	number := strconv.Itoa(b.rows[len(b.rows)-1])
	b.page = append(append(append(b.page, `<row r="`...), number...), `">`...)
	for i := range b.job.columns {
		b.page = b.appendCell(b.page, &b.job.columns[i], b.letters[i], number, x)
	}
	b.page = append(b.page, "</row>"...)
	if len(b.page) >= fullPage {
		_, err = b.out.Write(b.page)
		b.page = b.page[:0]
	}
	return err
}

// writeRest writes all but the sheets of the log, which are there.
func (b *book) writeRest() error {
	written := map[string]bool{}
	for n := range b.rows {
		written[sheetPath(n)] = true
	}
	return b.writeFrame(b.rows, restOf{b.zip, written})
}

// writeFrame has the library write the workbook with the heading of each sheet of the log,
// which has so many rows, and no report.
func (b *book) writeFrame(rows []int, to excelize.ZipWriter) (err error) {
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return to })
	date, err := f.NewStyle(&excelize.Style{CustomNumFmt: new("yyyy-mm-dd")})
	if err != nil {
		return err
	}
	b.date = strconv.Itoa(date)
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	if err := f.SetSheetName(f.GetSheetName(0), sheetLog); err != nil {
		return err
	}
	for n, used := range rows {
		if err := b.frameLog(f, n, used, bold); err != nil {
			return err
		}
	}
	if err := b.writeDefinitions(f, bold); err != nil {
		return err
	}
	return f.Write(io.Discard)
}

// frameLog makes the n-th sheet of the log: heading, widths, and filters over its rows.
func (b *book) frameLog(f *excelize.File, n, used, bold int) error {
	name := sheetLog
	if n > 0 {
		name += " " + strconv.Itoa(n+1)
		if _, err := f.NewSheet(name); err != nil {
			return err
		}
	}
	sheet, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	if err := sheet.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	cells := make([]any, len(b.job.columns))
	for i, c := range slices.Backward(b.job.columns) { // the library writes the last that was set first
		if err := sheet.SetColWidth(i+1, i+1, c.width()); err != nil {
			return err
		}
		cells[i] = excelize.Cell{StyleID: bold, Value: c.Name}
	}
	last, err := excelize.CoordinatesToCellName(len(b.job.columns), max(used, 2))
	if err != nil {
		return err
	}
	striped := false
	table := &excelize.Table{Range: "A1:" + last, Name: "Log" + strconv.Itoa(n+1), StyleName: "TableStyleLight1", ShowRowStripes: &striped}
	return errors.Join(sheet.SetRow("A1", cells), sheet.AddTable(table), sheet.Flush())
}

// width is that of a column in characters: of its name with the button of the filter, and
// of what stands in it as a rule.
func (c *Column) width() float64 {
	wide := map[string]float64{"species": 26, "species_name": 22, "name_given": 22, "flags": 24, "signs": 24, "words": 40, "note": 40, "chat": 20, "angler": 18, "season": 16, "date": 12}
	return max(float64(len(c.Name)+4), wide[c.Name])
}

func (b *book) writeDefinitions(f *excelize.File, bold int) error {
	if _, err := f.NewSheet(sheetDefinitions); err != nil {
		return err
	}
	s, err := f.NewStreamWriter(sheetDefinitions)
	if err != nil {
		return err
	}
	if err := errors.Join(s.SetColWidth(5, 5, 90), s.SetColWidth(4, 4, 40), s.SetColWidth(1, 1, 24)); err != nil {
		return err
	}
	head := make([]any, len(definitionHead))
	for i, name := range definitionHead {
		head[i] = excelize.Cell{StyleID: bold, Value: name}
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

// partsOf keeps the files of a workbook by their names.
type partsOf map[string]*bytes.Buffer

func (p partsOf) Create(name string) (io.Writer, error) {
	p[name] = new(bytes.Buffer)
	return p[name], nil
}

func (partsOf) AddFS(fs.FS) error { return errNoFolder }
func (partsOf) Close() error      { return nil }

// restOf writes the files of a workbook into a zip, but for those that are there.
type restOf struct {
	zip     *zip.Writer
	written map[string]bool
}

func (r restOf) Create(name string) (io.Writer, error) {
	if r.written[name] {
		return io.Discard, nil
	}
	return r.zip.Create(name)
}

func (restOf) AddFS(fs.FS) error { return errNoFolder }
func (restOf) Close() error      { return nil }

// errNoFolder: the library never adds one.
var errNoFolder = fmt.Errorf("a workbook has no folder: %w", errors.ErrUnsupported)
