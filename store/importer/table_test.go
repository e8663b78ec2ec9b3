package importer

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"deepward/advisor"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

func TestFormsOfText(t *testing.T) {
	plain := "Date,Species,Depth (m)\n2025-03-04,Pargo colorado é,30\n"
	latin, err := charmap.Windows1252.NewEncoder().String(plain)
	require.NoError(t, err)
	wide, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(plain)
	require.NoError(t, err)
	for name, text := range map[string]string{
		"plain": plain, "BOM": "\ufeff" + plain, "Windows-1252": latin, "UTF-16": wide,
		"CRLF": strings.ReplaceAll(plain, "\n", "\r\n"), "CR": strings.ReplaceAll(plain, "\n", "\r"),
		"semicolons": strings.ReplaceAll(plain, ",", ";"), "tabs": strings.ReplaceAll(plain, ",", "\t"), "bars": strings.ReplaceAll(plain, ",", "|"),
		"sep line": "sep=;\n" + strings.ReplaceAll(plain, ",", ";"), "title above": "Our log\n\n" + plain, "quotes": "\"Date\",\"Species\",\"Depth (m)\"\n2025-03-04,\"Pargo colorado é\",30\n",
	} {
		r := only(t, text, options())
		assert.Equal(t, "Pargo colorado é", r.SpeciesGiven, name)
		assert.InDelta(t, 30, *r.DepthM, 1e-9, name)
	}
}

func TestLineNumbersAreThoseOfTheFile(t *testing.T) {
	s := sheetOf(t, "our log\n\nDate,Fish,Notes\n2025-03-04,gag,\"two\nlines\"\n\nnever,gag,\n", options())
	require.Len(t, s.Rows, 2)
	assert.Equal(t, 4, s.Rows[0].Line)
	assert.Equal(t, 7, s.Rows[1].Line)
}

func TestWhatIsNoTableIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		data string
		want error
	}{
		"empty":            {"", ErrNoHeadings},
		"prose":            {"Dear all,\nwe had a fine day.\n", ErrNoHeadings},
		"binary":           {"\x00\x01\x02", ErrNotATable},
		"old workbook":     {"\xD0\xCF\x11\xE0 and so on", ErrNotATable},
		"broken zip":       {"PK\x03\x04 and so on", ErrNotATable},
		"figures only":     {"1,2,3\n4,5,6\n", ErrNoHeadings},
		"no date anywhere": {"Species,Depth (m)\ngag,30\n", nil},
	} {
		s, err := Read(strings.NewReader(c.data), "log.csv", options())
		if c.want == nil {
			require.NoError(t, err, name)
			assert.ErrorIs(t, s.Ready(), ErrAsk, name)
			continue
		}
		assert.ErrorIs(t, err, c.want, name)
	}
}

func TestLimitsSayWhatTheyAre(t *testing.T) {
	small := limits{bytes: 200, unzipped: 10_000, rows: 3, columns: 4, cell: 50}
	for text, says := range map[string]string{
		strings.Repeat("x", 201): "at most 200 bytes",
		"Date,Fish\n2025-03-04,gag\n2025-03-04,gag\n2025-03-04,gag\n": "at most 3 rows",
		"Date,Fish,a,b,c\n2025-03-04,gag\n":                           "at most 4 columns",
		"Date,Fish\n2025-03-04,\"" + strings.Repeat("y", 60):          "is a quotation mark open?",
	} {
		_, err := read(strings.NewReader(text), "log.csv", options(), small)
		assert.ErrorContains(t, err, says)
	}
}

// workbook makes an XLSX file of rows.
func workbook(t testing.TB, sheets map[string][][]any, order ...string) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, name := range order {
		if i == 0 {
			require.NoError(t, f.SetSheetName("Sheet1", name))
		} else {
			_, err := f.NewSheet(name)
			require.NoError(t, err)
		}
		for n, row := range sheets[name] {
			cell, err := excelize.CoordinatesToCellName(1, n+1)
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow(name, cell, &row))
		}
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func TestWorkbookIsReadAsItIsKept(t *testing.T) {
	day := time.Date(2025, 4, 3, 9, 20, 0, 0, time.UTC)
	data := workbook(t, map[string][][]any{
		"Cover": {{"Skerrow Point Anglers"}},
		"Log": {
			{"Boat log 2025"}, {},
			{"Date", "Species", "Depth (ft)", "Length (cm FL)", "Vented", "Tag #"},
			{day, "gag", 100.0, 52.5, true, 1234},
			{"4 Apr 2025", "gag", "90-110 ft", 44, false, "A-1"},
		},
	}, "Cover", "Log")
	s, err := Read(bytes.NewReader(data), "log.xlsx", options())
	require.NoError(t, err)
	require.NoError(t, s.Ready(), "a date in a workbook is a day number: nothing to ask")
	require.Len(t, s.Rows, 2)
	first, second := s.Rows[0].Entries[0].Report, s.Rows[1].Entries[0].Report
	assert.Equal(t, 4, s.Rows[0].Line)
	assert.Equal(t, day, first.CaughtAt)
	assert.False(t, first.DateOnly)
	assert.InDelta(t, 30.48, *first.DepthM, 1e-9)
	assert.Equal(t, "1234", first.Tag)
	assert.Equal(t, "vented", string(first.Method))
	assert.Equal(t, "2025-04-04", second.CaughtAt.Format(time.DateOnly))
	assert.Contains(t, s.Form, `"Log"`)

	o := options()
	o.SheetName = "Nowhere"
	_, err = Read(bytes.NewReader(data), "log.xlsx", o)
	assert.ErrorContains(t, err, `it has ["Cover" "Log"]`)
}

func TestSameRowsInTextAndWorkbookAreTheSame(t *testing.T) {
	data := workbook(t, map[string][][]any{"Log": {
		{"Species", "Date", "Depth (m)"}, {"gag", time.Date(2025, 4, 3, 0, 0, 0, 0, time.UTC), 30.5},
	}}, "Log")
	a, err := Read(bytes.NewReader(data), "log.xlsx", options())
	require.NoError(t, err)
	b := sheetOf(t, "Date,Depth (m),Species\n2025-04-03,30.5,Gag\n", options())
	assert.Equal(t, a.Rows[0].Entries[0].ID, b.Rows[0].Entries[0].ID)
}

// A workbook of a few kilobytes that unpacks to many times that.
func TestWorkbookThatUnpacksTooFarIsRefused(t *testing.T) {
	rows := [][]any{{"Date", "Species"}}
	for range 2000 {
		rows = append(rows, []any{"2025-04-03", strings.Repeat("gag ", 200)})
	}
	data := workbook(t, map[string][][]any{"Log": rows}, "Log")
	small := defaultLimits
	small.unzipped = 100_000
	require.Less(t, len(data), 100_000)
	_, err := read(bytes.NewReader(data), "log.xlsx", options(), small)
	assert.ErrorIs(t, err, ErrNotATable)
	assert.ErrorContains(t, err, "100000 bytes at most")
}

func FuzzRead(f *testing.F) {
	for _, name := range []string{"club-log.csv", "release-table.csv", "registro.csv"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add(workbook(f, map[string][][]any{"Log": {{"Date", "Fish", "Depth (m)"}, {45750.5, "gag", 30}, {"4/5/25", "x", "1-2"}}}, "Log"))
	f.Add([]byte("Date,Depth,Tag,Recap\n1/2/3,5'6\",#,x\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		o := options()
		o.Units, o.Dates, o.Recaptures = Metric, DayMonthYear, SeenLater
		small := limits{bytes: 1 << 16, unzipped: 1 << 20, rows: 500, columns: 100, cell: 1 << 12}
		s, err := read(bytes.NewReader(data), "fuzz", o, small)
		if err != nil {
			return
		}
		ids := map[string]bool{}
		for _, row := range s.Rows {
			if len(row.Problems) > 0 && len(row.Entries) > 0 {
				t.Fatal("a row with a problem was taken")
			}
			for _, e := range row.Entries {
				r := e.Report
				if ids[e.ID] || r.CaughtAt.IsZero() || r.Tag == invented || r.CaughtAt.Year() < oldestYear {
					t.Fatalf("line %d: %+v", row.Line, r)
				}
				if r.DepthM != nil && !(*r.DepthM > 0 && *r.DepthM <= advisor.DeepestM) || r.LengthCm != nil && !(*r.LengthCm >= minCm && *r.LengthCm <= advisor.LongestCm) {
					t.Fatalf("line %d: out of sense: %+v", row.Line, r)
				}
				ids[e.ID] = true
			}
		}
		var b bytes.Buffer
		if err := s.WriteSummary(&b); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	head, rows, _ := strings.Cut(mustText(b, "testdata/release-table.csv"), "\n")
	text := head + "\n" + strings.Repeat(rows, 1000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(text), "log.csv", options()); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(6000*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

func mustText(tb testing.TB, path string) string {
	tb.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	return string(data)
}
