package export

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"deepward/advisor"
	"deepward/store/catch"
)

// column is the place of a column in the log.
func column(t *testing.T, name string) int {
	t.Helper()
	for i, c := range Columns() {
		if c.Name == name {
			return i
		}
	}
	require.Fail(t, "no such column", name)
	return -1
}

func TestCSVReadsBackWithoutLosingAFish(t *testing.T) {
	list := season(200)
	for _, f := range []Format{CSV, Table} {
		data := written(t, f, list)
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, len(list)+1)
		for i, r := range list {
			assert.Equal(t, strconv.FormatUint(r.Number, 10), rows[i+1][0])
			assert.Equal(t, r.Species, rows[i+1][4])
			if r.DepthM != nil {
				assert.Equal(t, strconv.FormatFloat(*r.DepthM, 'f', -1, 64), rows[i+1][column(t, "depth_m")])
			}
		}
		assert.Equal(t, len(list)+2, bytes.Count(data, []byte("\r\n")), "RFC 4180 line ends, and one in a cell")
		assert.Equal(t, len(list)+2, bytes.Count(data, []byte("\n")))
	}
}

func TestExactPlaceGoesOutOnlyOnAFinerGrid(t *testing.T) {
	list := fixed()
	lat, lon := column(t, "cell_lat"), column(t, "cell_lon")
	for _, c := range []struct {
		grid     float64
		lat, lon string
	}{{0, "-31.25", "-18.05"}, {1, "-31.5", "-18.5"}, {0.01, "-31.285", "-18.015"}, {0.001, "-31.2875", "-18.0125"}} {
		o := options(Table)
		o.GridDeg = c.grid
		rows := writtenRows(t, list, o)
		assert.Equal(t, []string{c.lat, c.lon}, []string{rows[1][lat], rows[1][lon]}, "grid %g", c.grid)
	}
}

func TestGridThatStraddlesCellsIsRefused(t *testing.T) {
	for _, size := range []float64{0.25, 0.03, -1, 7, 1e9} {
		o := options(CSV)
		o.GridDeg = size
		err := Write(context.Background(), new(bytes.Buffer), catch.Listed(nil), o)
		assert.ErrorIs(t, err, ErrGrid, size)
	}
}

// The minute tells who knows the boats of a day where a fish came from.
func TestTimesAreToTheHourUnlessPlacesAreFine(t *testing.T) {
	i := column(t, "time")
	coarse := writtenRows(t, fixed(), options(Table))
	o := options(Table)
	o.GridDeg = 0.01
	fine := writtenRows(t, fixed(), o)
	assert.Equal(t, "10:00-02:00", coarse[1][i])
	assert.Equal(t, "10:17-02:00", fine[1][i])
	assert.Equal(t, "", coarse[3][i], "only the day is known")
	assert.Equal(t, "06:00+05:30", coarse[2][i], "the hour of the place, not of Greenwich")
}

func TestNamesGoOutOnlyWithConsent(t *testing.T) {
	list := season(40)
	for i, r := range list {
		r.Named = i%2 == 0
	}
	o := options(Table)
	o.WithNames = true
	rows := writtenRows(t, list, o)
	for i, r := range list {
		if r.Named {
			assert.Equal(t, r.Personal.Name, rows[i+1][column(t, "angler")])
		} else {
			assert.Regexp(t, `^angler-`, rows[i+1][column(t, "angler")])
		}
	}
	for _, f := range Formats {
		assert.NotContains(t, string(written(t, f, list)), list[0].Personal.Name, f)
	}
}

func TestWordsGoOutOnlyWhenAskedFor(t *testing.T) {
	list := fixed()
	for _, f := range []Format{CSV, Table, GeoJSON} {
		assert.NotContains(t, string(written(t, f, list)), "past the second buoy", f)
		o := options(f)
		o.WithWords = true
		var b bytes.Buffer
		require.NoError(t, Write(context.Background(), &b, catch.Listed(list), o))
		assert.Contains(t, b.String(), "past the second buoy", f)
	}
	o := options(DwCA)
	o.WithWords = true
	assert.NotContains(t, string(fileIn(t, writtenWith(t, list, o), "measurementorfact.csv")), "buoy")
	assert.NotContains(t, string(fileIn(t, writtenWith(t, list, o), "occurrence.csv")), "buoy")
}

func TestGeoJSONShowsCellsNotPoints(t *testing.T) {
	var doc struct {
		Type     string
		CRS      any
		Features []struct {
			Geometry *struct {
				Type        string
				Coordinates [][][2]float64
			}
		}
	}
	data := written(t, GeoJSON, append(season(60), fixed()...))
	require.NoError(t, json.Unmarshal(data, &doc))
	assert.Nil(t, doc.CRS, "RFC 7946 has none")
	require.Len(t, doc.Features, 60+len(fixed()))
	withoutPlace := 0
	for _, f := range doc.Features {
		if f.Geometry == nil {
			withoutPlace++
			continue
		}
		ring := f.Geometry.Coordinates[0]
		require.Len(t, ring, 5)
		assert.Equal(t, ring[0], ring[4], "closed")
		area := 0.0
		for i := range 4 {
			area += ring[i][0]*ring[i+1][1] - ring[i+1][0]*ring[i][1]
			assert.LessOrEqual(t, max(ring[i][0], -ring[i][0]), 180.0)
			assert.LessOrEqual(t, max(ring[i][1], -ring[i][1]), 90.0)
		}
		assert.InDelta(t, 2*0.01, area, 1e-9, "anticlockwise, one cell large")
	}
	assert.Equal(t, 2, withoutPlace, "a fish without a place is still a fish")
	assert.NotRegexp(t, `\[-?\d+\.\d\d+,|,-?\d+\.\d\d+\]`, string(data), "no more decimals than the grid has")
	assert.NotRegexp(t, `-0\.0[,\]]`, string(data), "no minus zero")
}

func TestWorkbookHasTypedCellsAndDefinitions(t *testing.T) {
	list := fixed()
	f, err := excelize.OpenReader(bytes.NewReader(written(t, XLSX, list)))
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, []string{sheetLog, sheetDefinitions}, f.GetSheetList())
	for _, c := range []struct {
		cell, raw, shown string
		kind             excelize.CellType
	}{
		{"A2", "1", "1", excelize.CellTypeUnset},                          // number
		{"C2", "46144", "2026-05-02", excelize.CellTypeUnset},             // day 46144 of the 1900 calendar
		{"I2", "56.5", "56.5", excelize.CellTypeUnset},                    // depth
		{"H2", "1", "TRUE", excelize.CellTypeBool},                        // sure of the species
		{"E2", "Lutjanus campechanus", "", excelize.CellTypeInlineString}, // text
		{"Z4", "=1+1", "", excelize.CellTypeInlineString},                 // a text, not a formula
	} {
		raw, err := f.GetCellValue(sheetLog, c.cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		assert.Equal(t, c.raw, raw, c.cell)
		kind, err := f.GetCellType(sheetLog, c.cell)
		require.NoError(t, err)
		assert.Equal(t, c.kind, kind, c.cell)
		if c.shown != "" {
			shown, err := f.GetCellValue(sheetLog, c.cell)
			require.NoError(t, err)
			assert.Equal(t, c.shown, shown, c.cell)
		}
		formula, err := f.GetCellFormula(sheetLog, c.cell)
		require.NoError(t, err)
		assert.Empty(t, formula)
	}
	definitions, err := f.GetRows(sheetDefinitions)
	require.NoError(t, err)
	assert.Len(t, definitions, len(Columns())-2+1, "all columns but the words, and a heading")
}

func TestWorkbookGoesOnOnAnotherSheetWhenOneIsFull(t *testing.T) {
	j, err := newJob(options(XLSX))
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, j.writeBook(&out, catch.Listed(season(7)), 4))
	data := out.Bytes()
	for sheet, selected := range map[string]bool{"1": true, "2": false, "3": false} {
		view, _, _ := strings.Cut(string(fileIn(t, data, "xl/worksheets/sheet"+sheet+".xml")), "<sheetData>")
		assert.Equal(t, selected, strings.Contains(view, "tabSelected"), "sheet %s: what is done in a selected sheet is done in all that are", sheet)
	}
	for sheet, widths := range map[string]int{"1": len(j.columns), "3": len(j.columns), "4": 3} {
		type col struct {
			Min int `xml:"min,attr"`
		}
		var s struct {
			Cols []col `xml:"cols>col"`
		}
		require.NoError(t, xml.Unmarshal(fileIn(t, data, "xl/worksheets/sheet"+sheet+".xml"), &s))
		assert.Len(t, s.Cols, widths)
		assert.True(t, slices.IsSortedFunc(s.Cols, func(a, b col) int { return a.Min - b.Min }), "widths are in the order of the columns")
	}
	b, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer b.Close()
	assert.Equal(t, []string{"Log", "Log 2", "Log 3", "Definitions"}, b.GetSheetList())
	for sheet, want := range map[string]int{"Log": 4, "Log 2": 4, "Log 3": 2} {
		rows, err := b.GetRows(sheet)
		require.NoError(t, err)
		assert.Len(t, rows, want, sheet)
	}
}

func TestInterruptedExportLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "log")
	require.NoError(t, os.WriteFile(path, []byte("last week's"), 0o600))
	broken := func(yield func(*catch.Report, error) bool) {
		for _, r := range season(20) {
			if !yield(r, nil) {
				return
			}
		}
		yield(nil, errors.New("the disk went away"))
	}
	for _, f := range Formats {
		assert.ErrorContains(t, ToFile(context.Background(), path, broken, options(f)), "went away", f)
		ctx, cancel := context.WithCancel(context.Background())
		stopping := options(f)
		stopping.Progress = func(int) { cancel() }
		assert.ErrorIs(t, ToFile(ctx, path, catch.Listed(season(3000)), stopping), context.Canceled, f)
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1)
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "last week's", string(kept))
}

func TestFileIsWholeAndPrivate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "log.csv")
	require.NoError(t, ToFile(context.Background(), path, catch.Listed(season(30)), options(CSV)))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, written(t, CSV, season(30)), data)
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}

func TestReportMayBeReusedBetweenSteps(t *testing.T) {
	list := season(50)
	reused := func(yield func(*catch.Report, error) bool) {
		r := new(catch.Report)
		for _, next := range list {
			*r = *next
			if !yield(r, nil) {
				return
			}
			*r = catch.Report{}
		}
	}
	for _, f := range []Format{CSV, Table, GeoJSON, DwCA, XLSX} {
		var b bytes.Buffer
		require.NoError(t, Write(context.Background(), &b, reused, options(f)))
		assert.Equal(t, written(t, f, list), b.Bytes(), f)
	}
}

// A day that an import had to fill in is in no form of the log: it would be a false date.
func TestDayThatNobodyToldIsNotExported(t *testing.T) {
	at := time.Date(2016, 7, 1, 0, 0, 0, 0, time.UTC)
	list := []*catch.Report{
		{Number: 1, CaughtAt: at, DateOnly: true, Flags: []string{"date_filled"}, Release: advisor.Release{Method: "vented"}, Species: "Lutjanus campechanus", SpeciesSure: true},
		{Number: 2, CaughtAt: at.Add(time.Second), DateOnly: true, Flags: []string{"recapture_date_unknown"}, Release: advisor.Release{Recapture: true, Tag: "A1"}},
	}
	for _, f := range []Format{CSV, Table, GeoJSON, DwCA, XLSX} {
		data := written(t, f, list)
		if f == DwCA || f == XLSX {
			data = unzipped(t, data)
		}
		assert.NotContains(t, string(data), "2016-07-01", string(f))
		assert.NotContains(t, string(data), "42552", string(f), "nor as the number of a day in a workbook")
	}
}

// unzipped are all files of an archive, one behind the other.
func unzipped(t *testing.T, archive []byte) (all []byte) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		all = append(all, data...)
	}
	return all
}
