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
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"deepward/store"
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

// Reports is the log to be written; it is walked once for each table of a format.
// The same Report may be filled again for each step.
type Reports = iter.Seq2[*store.Report, error]

// Options say how to write the log.
type Options struct {
	Format Format
	// GridDeg is the size of the grid cells in degrees, 0.1 if zero. Finer needs
	// reports with their personal part.
	GridDeg float64
	// WithNames puts in the names of the people who agreed to it.
	WithNames bool
	// Pseudonym names a person by season; store.Store has one.
	Pseudonym func(season string, who uint64) string
	// Title and Club head the formats that have a place for it.
	Title, Club string
	MadeAt      time.Time
	// Progress is told how many reports are written, now and then.
	Progress func(done int)

	names map[nameKey]string
}

type nameKey struct {
	season string
	who    uint64
}

// pseudonym remembers the names it asked for: they cost a keyed hash each.
func (o *Options) pseudonym(season string, who uint64) string {
	if who == 0 || o.Pseudonym == nil {
		return ""
	}
	k := nameKey{season, who}
	name, ok := o.names[k]
	if !ok {
		name = o.Pseudonym(season, who)
		if o.names == nil {
			o.names = map[nameKey]string{}
		}
		o.names[k] = name
	}
	return name
}

// Write writes the log to w.
func Write(ctx context.Context, w io.Writer, reports Reports, o Options) error {
	if o.GridDeg == 0 {
		o.GridDeg = coarsest
	}
	reports = watched(ctx, reports, o.Progress)
	switch o.Format {
	case CSV:
		return writeCSV(w, reports, &o, spreadsheetCell)
	case Table:
		return writeCSV(w, reports, &o, plainCell)
	case XLSX:
		return writeXLSX(w, reports, &o)
	case GeoJSON:
		return writeGeoJSON(w, reports, &o)
	case DwCA:
		return writeDwCA(w, reports, &o)
	case All:
		return writeAll(w, reports, &o)
	default:
		return fmt.Errorf("%q: %w", o.Format, ErrFormat)
	}
}

// progressEvery is how many reports pass between two looks at the clock and ctx.
const progressEvery = 1024

// watched tells of progress and ends the walk when ctx does.
func watched(ctx context.Context, reports Reports, progress func(int)) Reports {
	return func(yield func(*store.Report, error) bool) {
		n := 0
		for r, err := range reports {
			if n++; n%progressEvery == 0 {
				if ctx.Err() != nil {
					yield(nil, ctx.Err())
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

// ToFile writes the log to a file that appears only when it is whole: an
// interrupted export leaves nothing behind.
func ToFile(ctx context.Context, path string, reports Reports, o Options) (err error) {
	temp, err := os.CreateTemp(filepath.Dir(path), ".export-*")
	if err != nil {
		return fmt.Errorf("the export cannot be written there: %w", err)
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
		}
	}()
	if err := Write(ctx, temp, reports, o); err != nil {
		return err
	}
	if err := errors.Join(temp.Sync(), temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), path)
}
