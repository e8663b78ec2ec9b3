// Package importer reads a club's old paper log or spreadsheet, and published
// tag-release tables, into reports.
//
// It takes the headings that people use, in any order, and asks where a heading,
// a unit or a date can be read in two ways: nothing is guessed. Read understands a
// file and writes nothing; Into keeps what was understood, all or nothing, and
// what is in the store already is not added again.
package importer

import (
	"errors"
	"io"
	"time"

	"deepward/store/catch"
)

// DateOrder is the order of day, month and year in dates that are all figures.
type DateOrder string

// The orders. A year of four digits in front needs no order.
const (
	DayMonthYear DateOrder = "dmy"
	MonthDayYear DateOrder = "mdy"
	YearMonthDay DateOrder = "ymd"
	// DaySerial: dates are the day numbers of a spreadsheet, counted from 1900.
	DaySerial DateOrder = "serial"
)

// Comma is what a comma in a figure is.
type Comma string

// The two meanings.
const (
	CommaDecimal   Comma = "decimal"
	CommaThousands Comma = "thousands"
)

// Units are what figures without a unit are in.
type Units string

// The systems of units.
const (
	// Metric is m, cm, kg, degrees Celsius.
	Metric Units = "metric"
	// Imperial is ft, in, lb, degrees Fahrenheit.
	Imperial Units = "imperial"
)

// Recaptures says what a yes under "recaptured" means.
type Recaptures string

// The meanings.
const (
	// RowIsRecapture: the fish of that row wore a tag already.
	RowIsRecapture Recaptures = "row"
	// SeenLater: the row is a release, and the fish was caught again later.
	SeenLater Recaptures = "later"
	// Repeated: a row whose tag stands in an earlier one is its recapture.
	Repeated Recaptures = "repeat"
	// ReturnsOnly: each row is a recapture and nothing else; the releases are in another
	// file, or in the log already.
	ReturnsOnly Recaptures = "only"
)

// Options say how to read a file, as far as the file does not.
type Options struct {
	// Now is the time after which no fish was caught; zero leaves that unchecked.
	Now time.Time
	// Zone is where times of day were written down; nil if nobody told: then reports with
	// a time get the flag catch.ZoneUnknown.
	Zone       *time.Location
	Dates      DateOrder
	Units      Units
	Recaptures Recaptures
	// Columns names headings of the file and what to read each as, in the words of
	// a heading: {"FKM": "length m FL"}; "-" leaves a column out.
	Columns map[string]string
	// Values say what a cell of a column is read as, in the words of such a cell:
	// {"treatment:D": "sent down", "depth:999": "-"}; "-" is not told.
	Values map[string]string
	// Comma is what a comma in a figure is, where the file does not prove it.
	Comma Comma
	// Date is the day, or as much of it as is known, of fish whose row has none: 2016,
	// 2016-07 or 2016-07-01. Only what the row lacks is taken from it, and the report
	// gets the flag FlagDateFilled.
	Date string
	// Species is the fish of every row that names none.
	Species string
	// Sheets say what other sheets of the workbook are, by name: ReturnsSheet, or "-" to
	// leave one out.
	Sheets map[string]string
	// SheetName is the sheet of a workbook; the first with a heading, and those
	// with the same headings, if empty.
	SheetName string
	// FindSpecies gives the scientific name of a fish as people call it, "" if
	// nobody knows it; sure is false when the name fits several.
	FindSpecies func(name string) (scientific string, sure bool)
	// Doubts gives the codes of what is odd about a report, to be kept with it.
	Doubts func(*catch.Report) []string

	// Chat, Season and Origin go into every report. Origin is in the exports; if
	// empty it is made from the content of the file, never from its name.
	Chat   catch.ClubID
	Season string
	Origin string
	// Limits bound what is read; what is zero is bound as on the command line.
	Limits Limits
	// seen is what a part of a large file knows of those before it.
	seen *seen
	// KeepNames keeps the names of anglers, sealed; KeepPlaces the exact places.
	// Without, a name is dropped and a place is kept as its 0.1 degree cell: who
	// wrote the old log was not asked.
	KeepNames, KeepPlaces bool
}

// What Read refuses. Each says what to do.
var (
	// ErrTooLarge: the file is larger than what is read at once.
	ErrTooLarge = errors.New("the file is larger than what is read at once; split it")
	// ErrNotATable: it is neither CSV nor XLSX.
	ErrNotATable = errors.New("this is neither CSV nor XLSX; save the sheet as one of them")
	// ErrNoHeadings: no line looks like the headings of a log.
	ErrNoHeadings = errors.New("no line of headings was found among the first 30 lines; give the columns names such as Date, Species, Depth (ft), or name them with --column \"HEADING=depth ft\"")
	// ErrAsk: something can be read in two ways; Sheet.Questions say what.
	ErrAsk = errors.New("something can be read in two ways")
	// ErrOption: an option has a value that it cannot have.
	ErrOption = errors.New("wrong option")
	// ErrProblems: rows have problems; Sheet.Problems lists them.
	ErrProblems = errors.New("some lines cannot be taken")
)

// Read understands a file. A sheet that comes back without an error may still have
// questions or problems: see Sheet.Ready.
func Read(r io.Reader, name string, o Options) (*Sheet, error) {
	return read(r, name, o, o.Limits.within(defaultLimits))
}

func read(r io.Reader, name string, o Options, l limits) (*Sheet, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	t, err := openTable(r, o, l)
	if err != nil {
		return nil, err
	}
	return t.understand(name, o)
}

// understand reads the cells as the options say, which were checked. The table stays as
// it was: it can be read again.
func (t *table) understand(name string, o Options) (*Sheet, error) {
	s := &Sheet{Name: name, Form: t.form}
	s.noteSheets(t)
	if err := t.read(s, t.own(o)); err != nil {
		return s, err
	}
	return s, t.takeSheets(s, o)
}

// read reads the lines of the table into a sheet.
func (t *table) read(s *Sheet, o Options) error {
	other := *t
	t = &other
	if o.Dates == DaySerial {
		t.serials, o.Dates = true, ""
	}
	zoneTold := o.Zone != nil
	if !zoneTold {
		o.Zone = time.UTC
	}
	in := &reading{Options: o, table: t, sheet: s, zoneTold: zoneTold}
	if in.Origin == "" {
		in.Origin = t.origin
	}
	return in.run()
}
