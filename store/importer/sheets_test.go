package importer

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"deepward/advisor"
)

// told are the notes of a sheet.
func told(s *Sheet) (list []string) {
	for _, n := range s.Notes {
		list = append(list, n.String())
	}
	return list
}

func readBook(t *testing.T, data []byte, o Options) *Sheet {
	t.Helper()
	s, err := Read(bytes.NewReader(data), "log.xlsx", o)
	require.NoError(t, err)
	return s
}

var april = func(day int) time.Time { return time.Date(2025, 4, day, 0, 0, 0, 0, time.UTC) }

func TestSheetsWithTheSameHeadingsAreReadTogether(t *testing.T) {
	head := []any{"Date", "Species", "Depth (m)", "Tag"}
	data := workbook(t, map[string][][]any{
		"2024":  {{"Log of the boat"}, head, {april(1), "gag", 30, "A1"}, {april(2), "gag", 31, "A2"}},
		"2025":  {head, {april(3), "red snapper", 40, "A3"}, {april(4), "gag", "deep", "A4"}},
		"Key":   {{"what we mean"}},
		"Diary": {{"Date", "Temperature (C)"}, {april(3), 20}},
	}, "2024", "2025", "Key", "Diary")
	s := readBook(t, data, options())
	require.Len(t, s.Rows, 4)
	assert.Equal(t, []string{"", "", "2025", "2025"}, []string{s.Rows[0].File, s.Rows[1].File, s.Rows[2].File, s.Rows[3].File})
	assert.Equal(t, []int{3, 4, 2, 3}, []int{s.Rows[0].Line, s.Rows[1].Line, s.Rows[2].Line, s.Rows[3].Line}, "lines are numbered as in their sheet")
	assert.Equal(t, "A3", s.Rows[2].Entries[0].Report.Tag)
	require.Len(t, s.Rows[3].Problems, 1)
	assert.Equal(t, `line 3 of 2025, Depth (m): "deep" is no figure`, s.Rows[3].Problems[0].String())
	assert.Contains(t, told(s), `read together with "2024", as their headings are the same: "2025"; to read one alone: --sheet`)
	assert.Contains(t, told(s), `not read, as it has no headings that are known: "Key"`)
	assert.Contains(t, told(s), `the sheet "Diary" is not read`)

	o := options()
	o.SheetName = "2025"
	s = readBook(t, data, o)
	require.Len(t, s.Rows, 2, "a sheet that is named is read alone")
	assert.Equal(t, "A3", s.Rows[0].Entries[0].Report.Tag)
	o.SheetName = "2026"
	_, err := Read(bytes.NewReader(data), "log.xlsx", o)
	assert.ErrorContains(t, err, `no sheet "2026"`)
}

func TestASheetOfRecapturesIsAskedAboutAndJoined(t *testing.T) {
	data := workbook(t, map[string][][]any{
		"Releases": {{"Date", "Species", "Depth (m)", "Tag", "Method"}, {april(1), "gag", 30, "A1", "vented"}, {april(2), "red snapper", 31, "A2", "descended"}},
		"Returns":  {{"Tag", "Date", "State"}, {"A1", april(20), "kept"}, {"A2", april(21), "alive"}, {"A9", april(22), "alive"}},
	}, "Releases", "Returns")
	talk, err := NewTalk(bytes.NewReader(data), "log.xlsx", options(), nil)
	require.NoError(t, err)
	q := talk.Next()
	require.NotNil(t, q)
	assert.Equal(t, `the workbook has another sheet that tells of fish, "Returns", under headings of its own. What is it?`, q.Asks())
	assert.Error(t, talk.Answer("releases of last year"))
	require.NoError(t, talk.Answer("1"))
	require.Nil(t, talk.Next())
	s := talk.Sheet()
	require.Len(t, s.Rows, 5)
	assert.Contains(t, told(s), `the sheet "Returns": 2 recaptures have their release here, 1 do not; to see how it is read: --sheet`)
	r := s.Rows[2].Entries[0].Report
	assert.True(t, r.Recapture)
	assert.Equal(t, "Mycteroperca microlepis", r.Species, "of the species of its release")
	assert.Equal(t, april(20), r.CaughtAt)
	assert.Equal(t, advisor.Kept, r.Method)
	assert.Empty(t, s.Rows[4].Entries[0].Report.Species)
	assert.Equal(t, map[string]string{"Returns": ReturnsSheet}, talk.Answers().Sheets)
	assert.False(t, talk.Answers().Empty())

	o := options()
	o.Sheets = map[string]string{"Returns": "-"}
	s = readBook(t, data, o)
	require.NoError(t, s.Ready())
	assert.Len(t, s.Rows, 2)
	assert.Contains(t, told(s), `the sheet "Returns" is not read`)
	o.Sheets = map[string]string{"Returns": "perhaps"}
	_, err = Read(bytes.NewReader(data), "log.xlsx", o)
	assert.ErrorIs(t, err, ErrOption)
}

// What is said of a column of one sheet is not asked of the other.
func TestEachSheetHasItsOwnColumns(t *testing.T) {
	data := workbook(t, map[string][][]any{
		"Out":  {{"Date", "Species", "Zq", "Tag"}, {april(1), "gag", 30, "A1"}},
		"Back": {{"Tag", "Date", "Qz"}, {"A1", april(20), 100}},
	}, "Out", "Back")
	o := options()
	o.Columns = map[string]string{"Zq": "depth m", "Qz": "depth ft"}
	o.Values = map[string]string{"Qz:100": "90"}
	o.Sheets = map[string]string{"Back": "returns"}
	s := readBook(t, data, o)
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 2)
	assert.InDelta(t, 30, *s.Rows[0].Entries[0].Report.DepthM, 1e-9)
	assert.InDelta(t, 90*0.3048, *s.Rows[1].Entries[0].Report.DepthM, 1e-3)

	o.Columns["Nowhere"] = "depth m"
	s = readBook(t, data, o)
	require.NotEmpty(t, s.Questions)
	assert.Contains(t, s.Questions[0].Text, `no column "Nowhere"`)
}

// merged makes a workbook of one sheet with merged cells.
func merged(t *testing.T, rows [][]any, ranges ...[2]string) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		cell, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Sheet1", cell, &row))
	}
	for _, r := range ranges {
		require.NoError(t, f.MergeCell("Sheet1", r[0], r[1]))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func TestMergedCellsTellOfAllTheirLines(t *testing.T) {
	data := merged(t, [][]any{
		{"Trip", "Date", "Species", "Depth (m)"},
		{"1", april(1), "gag", 30}, {nil, nil, "red snapper", 31}, {nil, nil, "gag", 32},
		{"2", april(5), "gag", 33},
	}, [2]string{"A2", "A4"}, [2]string{"B2", "B4"})
	s := readBook(t, data, options())
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 4)
	for i, day := range []int{1, 1, 1, 5} {
		assert.Equal(t, april(day), s.Rows[i].Entries[0].Report.CaughtAt)
	}
}

// A heading over two lines, beside groups over several columns.
func TestHeadingsInTwoLinesAreReadTogether(t *testing.T) {
	data := merged(t, [][]any{
		{"Tag", "Species", "Capture", nil, "Release", "Recapture", nil},
		{nil, nil, "Date", "Depth (m)", "Method", "Date", "Depth (m)"},
		{"A1", "gag", april(1), 30, "vented", april(20), 35},
		{"A2", "gag", april(2), 31, "descended", nil, nil},
	}, [2]string{"A1", "A2"}, [2]string{"B1", "B2"}, [2]string{"C1", "D1"}, [2]string{"F1", "G1"})
	s := readBook(t, data, options())
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 2)
	require.Len(t, s.Rows[0].Entries, 2)
	assert.Equal(t, april(1), s.Rows[0].Entries[0].Report.CaughtAt)
	assert.Equal(t, "A1", s.Rows[0].Entries[0].Report.Tag)
	assert.InDelta(t, 35, *s.Rows[0].Entries[1].Report.DepthM, 1e-9)
	assert.Equal(t, april(20), s.Rows[0].Entries[1].Report.CaughtAt)
	require.Len(t, s.Rows[1].Entries, 1)
}

func TestGroupsAboveHeadings(t *testing.T) {
	headings := line{cells: []string{"Tag", "Date", "Depth", "Date", "Depth"}}
	for _, c := range []struct {
		cells []string
		want  bool
	}{
		{[]string{"", "Release", "", "Recapture", ""}, true},
		{[]string{"Tag", "Release", "", "Recapture", ""}, true},
		{[]string{"", "Trip data", "", "Recapture", ""}, true},
		{[]string{"", "Boat stuff", "", "Recapture 2", ""}, true},
		{[]string{"Tag recapture study of 2019", "", "", "", ""}, false},
		{[]string{"", "Release", "", "", ""}, false},
		{[]string{"Recapture", "", "", "", ""}, true},
		{[]string{"A log", "", "", "", ""}, false},
		{[]string{"Tag", "Date", "Depth", "Date", "Depth"}, false},
	} {
		assert.Equal(t, c.want, line{cells: c.cells}.groups(headings), c.cells)
	}
}
