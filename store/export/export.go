// Package export writes the season log in each format, streamed: it holds one
// report at a time, whatever the size of the season.
//
// What leaves here names nobody who did not agree, and no place finer than the
// grid that was asked for. Column names and formats are a promise: a column is
// never renamed or given another meaning, new ones are added at the end.
package export

import (
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"time"

	"deepward/store/catch"
)

// Format is a way to write the log.
type Format string

// The formats.
const (
	// CSV is for spreadsheets: RFC 4180, and no cell that a spreadsheet would run.
	CSV Format = "csv"
	// Table is CSV for programs: RFC 4180, every value as it is.
	Table Format = "table"
	// XLSX is a workbook with typed cells and a sheet of definitions.
	XLSX Format = "xlsx"
	// GeoJSON is RFC 7946: grid cells as polygons.
	GeoJSON Format = "geojson"
	// DwCA is a Darwin Core Archive.
	DwCA Format = "dwca"
	// All is a zip of all of these.
	All Format = "all"
)

// Formats lists every format.
var Formats = []Format{CSV, Table, XLSX, GeoJSON, DwCA, All}

// ErrFormat: there is no such format.
var ErrFormat = errors.New("no such format; choose one of csv, table, xlsx, geojson, dwca, all")

// ParseFormat reads the name of a format.
func ParseFormat(name string) (Format, error) {
	f := Format(strings.ToLower(strings.TrimSpace(name)))
	if !slices.Contains(Formats, f) {
		return "", fmt.Errorf("%q: %w", name, ErrFormat)
	}
	return f, nil
}

// Extension is the ending of a file of the format.
func (f Format) Extension() string {
	switch f {
	case Table:
		return "csv"
	case DwCA, All:
		return "zip"
	default:
		return string(f)
	}
}

// Reports is the log to be written, in order of time; it is walked once for each
// table of a format. The same Report may be filled again for each step.
type Reports = iter.Seq2[*catch.Report, error]

// Options say how to write the log.
type Options struct {
	Format Format
	// GridDeg is the size of the grid cells in degrees, one of Grids; 0.1 if zero.
	// Finer is for organisers: it needs reports with their personal part, and
	// brings times to the minute instead of the hour.
	GridDeg float64
	// WithNames puts in the names of the people who agreed to it; needs reports
	// with their personal part.
	WithNames bool
	// WithWords puts in what people wrote, which may name people and places; needs
	// reports with their personal part. The Darwin Core Archive never has it.
	WithWords bool
	// Pseudonym names a person by club and season; store.Store has one.
	Pseudonym func(club catch.ClubID, season string, who uint64) string
	// Chat names a chat by its number in the store, and says whether it is one
	// person's own: the number of such a chat is not given out, for it would join
	// the season names of one person.
	Chat func(number catch.ClubID) (name string, private bool)
	// Identifier, if set, names a report by its number in the store, so that the number
	// itself, which counts the reports of all clubs, does not go out; store.Store has one.
	Identifier func(number uint64) string
	// Dataset, if set, begins every identifier in the Darwin Core Archive, so that
	// logs of several stores can stand side by side.
	Dataset string
	// License is what others may do with the log; Contact whom to ask, as
	// "Name <address>". Invented is true for made-up reports: every format says so.
	License  License
	Contact  string
	Invented bool
	// Title and Club head the formats that have a place for it.
	Title, Club string
	MadeAt      time.Time
	// Progress is told how many reports were written, now and then. A format of
	// several tables counts each report once for each.
	Progress func(done int)
}

// Write writes the log to w. It ends with the error of ctx when that is done,
// with ErrFormat or ErrGrid for what there is not, and with any error of the walk.
func Write(ctx context.Context, w io.Writer, reports Reports, o Options) error {
	j, err := newJob(o)
	if err != nil {
		return err
	}
	reports = watched(ctx, reports, o.Progress)
	switch o.Format {
	case CSV:
		return j.writeCSV(w, reports, spreadsheetCell)
	case Table:
		return j.writeCSV(w, reports, plainCell)
	case XLSX:
		return j.writeXLSX(w, reports)
	case GeoJSON:
		return j.writeGeoJSON(w, reports)
	case DwCA:
		return j.writeDwCA(w, reports)
	case All:
		return j.writeAll(w, reports)
	default:
		return fmt.Errorf("%q: %w", o.Format, ErrFormat)
	}
}

// progressEvery is how many reports pass between two looks at the clock and ctx.
const progressEvery = 1024

// watched tells of progress and ends the walk when ctx does.
func watched(ctx context.Context, reports Reports, progress func(int)) Reports {
	n := 0
	return func(yield func(*catch.Report, error) bool) {
		if ctx.Err() != nil {
			yield(nil, context.Cause(ctx))
			return
		}
		for r, err := range reports {
			if n++; n%progressEvery == 0 {
				if ctx.Err() != nil {
					yield(nil, context.Cause(ctx))
					return
				}
				if progress != nil {
					progress(n)
				}
			}
			if !yield(r, err) {
				return
			}
		}
	}
}
