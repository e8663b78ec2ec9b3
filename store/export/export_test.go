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
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"deepward/store"
	"deepward/store/demo"
)

var madeAt = time.Date(2026, 10, 1, 9, 0, 0, 0, time.UTC)

// season is an invented season with a hostile report in it.
func season(n int) []*store.Report {
	list := demo.Reports(n, 7, 3)
	for i, r := range list {
		r.Number, r.Who = uint64(i+1), uint64(i%5+1)
	}
	h := list[0]
	h.SpeciesGiven = "=cmd|' /C calc'!A0, \"red\"\r\nsnapper"
	h.Tag = "+1+1"
	return list
}

func walk(list []*store.Report) Reports {
	return func(yield func(*store.Report, error) bool) {
		for _, r := range list {
			if !yield(r, nil) {
				return
			}
		}
	}
}

func options(f Format) Options {
	return Options{
		Format: f, MadeAt: madeAt, Club: "Skerrow <Point> & Co",
		Pseudonym: func(season string, who uint64) string { return "angler-" + strconv.FormatUint(who, 10) },
	}
}

func written(t *testing.T, f Format, list []*store.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, walk(list), options(f)))
	return b.Bytes()
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
		}
		assert.True(t, bytes.HasSuffix(data, []byte("\r\n")), "RFC 4180 line ends")
	}
}

// OWASP, CSV injection: no cell may begin with = + - @, tab or line end.
func TestSpreadsheetRunsNoCell(t *testing.T) {
	rows, err := csv.NewReader(bytes.NewReader(written(t, CSV, season(50)))).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		for i, cell := range row {
			if Columns()[i].Kind == "number" {
				if cell != "" {
					_, err := strconv.ParseFloat(cell, 64)
					assert.NoError(t, err, cell)
				}
				continue
			}
			assert.NotRegexp(t, `^[\s]*[=+\-@＝＋－＠\t\r\n]`, cell)
		}
	}
	assert.Equal(t, "'+1+1", rows[1][25])
}

func TestHostileCells(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", "": "", "a,b": `"a,b"`, `say "hi"`: `"say ""hi"""`,
		"=1+1": `"'=1+1"`, " \t@x": `"' ` + "\t" + `@x"`, "＝1": `"'＝1"`, "\t": "\"'\t\"", "-3": `"'-3"`, "nul\x00": "nul",
	} {
		assert.Equal(t, want, string(spreadsheetCell(nil, []byte(in))), "%q", in)
	}
}

func TestNamesGoOutOnlyWithConsent(t *testing.T) {
	list := season(40)
	for i, r := range list {
		r.Named = i%2 == 0
	}
	o := options(Table)
	o.WithNames = true
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, walk(list), o))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for i, r := range list {
		if r.Named {
			assert.Equal(t, r.Personal.Name, rows[i+1][31])
		} else {
			assert.Regexp(t, `^angler-`, rows[i+1][31])
		}
	}
	for _, f := range Formats {
		assert.NotContains(t, string(written(t, f, list)), list[0].Personal.Name, f)
	}
}

// The distances from the centre of a cell to its farthest corner are GeodSolve's
// (GeographicLib 2.1.2); ours is rounded up, and from the radii of curvature.
func TestUncertaintyHoldsTheWholeCell(t *testing.T) {
	f, err := os.Open("../../testdata/stats_checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	form := regexp.MustCompile(`lat=(-?[0-9.]+) cell=([0-9.]+)`)
	n := 0
	for _, row := range rows {
		m := form.FindStringSubmatch(row[1])
		if row[0] != "grid-cell-uncertainty" || m == nil {
			continue
		}
		lat, _ := strconv.ParseFloat(m[1], 64)
		size, _ := strconv.ParseFloat(m[2], 64)
		want, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		got := uncertainty(lat, size)
		assert.GreaterOrEqual(t, got, want-0.001*want, "%v", row)
		assert.LessOrEqual(t, got, math.Ceil(want)+0.005*want+1, "%v", row)
		n++
	}
	assert.Equal(t, 30, n)
}

func TestSamePlaceFallsInOneCell(t *testing.T) {
	for _, c := range []struct{ lat, lon, size, wantLat, wantLon float64 }{
		{-34.45, 20.05, 0.1, -34.45, 20.05}, {-0.01, 0.01, 0.1, -0.05, 0.05},
		{89.99, 179.99, 0.1, 89.95, 179.95}, {-17.5, -180, 0.1, -17.45, -179.95}, {34.123, -119.456, 0.01, 34.125, -119.455},
	} {
		got := cellAt(c.lat, c.lon, c.size)
		assert.InDelta(t, c.wantLat, got.lat, 1e-9, c)
		assert.InDelta(t, c.wantLon, got.lon, 1e-9, c)
	}
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
	data := written(t, GeoJSON, season(60))
	require.NoError(t, json.Unmarshal(data, &doc))
	assert.Nil(t, doc.CRS)
	require.Len(t, doc.Features, 60)
	for _, f := range doc.Features {
		require.NotNil(t, f.Geometry)
		ring := f.Geometry.Coordinates[0]
		require.Len(t, ring, 5)
		assert.Equal(t, ring[0], ring[4], "closed")
		area := 0.0
		for i := range 4 {
			area += ring[i][0]*ring[i+1][1] - ring[i+1][0]*ring[i][1]
		}
		assert.Positive(t, area, "anticlockwise")
	}
	assert.NotRegexp(t, `-?\d+\.\d\d+,-?\d+\.\d\d+\]`, string(data), "no more decimals than the grid has")
}

func TestWorkbookHasTypedCellsAndDefinitions(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(written(t, XLSX, season(30))))
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, []string{sheetLog, sheetDefinitions}, f.GetSheetList())
	rows, err := f.GetRows(sheetLog)
	require.NoError(t, err)
	assert.Len(t, rows, 31)
	kind, err := f.GetCellType(sheetLog, "I2")
	require.NoError(t, err)
	assert.NotEqual(t, excelize.CellTypeInlineString, kind, "depth is a number")
	definitions, err := f.GetRows(sheetDefinitions)
	require.NoError(t, err)
	assert.Len(t, definitions, len(Columns())+1)
}

func TestInterruptedExportLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	broken := func(yield func(*store.Report, error) bool) {
		for _, r := range season(20) {
			yield(r, nil)
		}
		yield(nil, errors.New("the disk went away"))
	}
	for _, f := range Formats {
		err := ToFile(context.Background(), filepath.Join(dir, "log"), broken, options(f))
		assert.ErrorContains(t, err, "went away", f)
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// archive is a Darwin Core Archive read by the rules of the text guide: meta.xml
// names the files, every extension row leads to a core row, fields have a place.
type archiveMeta struct {
	Core      archiveTable `xml:"core"`
	Extension archiveTable `xml:"extension"`
	Metadata  string       `xml:"metadata,attr"`
}

type archiveTable struct {
	Encoding string `xml:"encoding,attr"`
	RowType  string `xml:"rowType,attr"`
	Location string `xml:"files>location"`
	ID       *struct {
		Index int `xml:"index,attr"`
	} `xml:"id"`
	CoreID *struct {
		Index int `xml:"index,attr"`
	} `xml:"coreid"`
	Fields []struct {
		Index *int   `xml:"index,attr"`
		Term  string `xml:"term,attr"`
	} `xml:"field"`
}

func TestArchiveHoldsTogether(t *testing.T) {
	data := written(t, DwCA, season(80))
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var meta archiveMeta
	require.NoError(t, xml.Unmarshal(read(t, z, "meta.xml"), &meta))
	require.NoError(t, xml.Unmarshal(read(t, z, meta.Metadata), new(struct{})))
	assert.Equal(t, "UTF-8", meta.Core.Encoding)
	require.NotNil(t, meta.Core.ID)
	require.NotNil(t, meta.Extension.CoreID)
	core := table(t, z, meta.Core)
	ids := map[string]bool{}
	for _, row := range core[1:] {
		assert.False(t, ids[row[0]], "id twice")
		ids[row[0]] = true
	}
	assert.Len(t, ids, 80)
	for _, row := range table(t, z, meta.Extension)[1:] {
		assert.True(t, ids[row[meta.Extension.CoreID.Index]], row)
	}
}

func read(t *testing.T, z *zip.Reader, name string) []byte {
	t.Helper()
	f, err := z.Open(name)
	require.NoError(t, err)
	defer f.Close()
	data, err := io.ReadAll(f)
	require.NoError(t, err)
	return data
}

// table reads a file of the archive and checks its heading against the terms.
func table(t *testing.T, z *zip.Reader, a archiveTable) [][]string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(read(t, z, a.Location))).ReadAll()
	require.NoError(t, err)
	for _, f := range a.Fields {
		if f.Index != nil {
			term := f.Term[strings.LastIndexByte(f.Term, '/')+1:]
			assert.Equal(t, term, rows[0][*f.Index])
		}
	}
	return rows
}

func BenchmarkCSV(b *testing.B) {
	list := season(10000)
	o := options(CSV)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(context.Background(), io.Discard, walk(list), o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N*len(list))/b.Elapsed().Seconds(), "rows/s")
}
