package importer

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestADayOnALineOfItsOwnIsThatOfTheLinesBelow(t *testing.T) {
	for name, text := range map[string]string{
		"in words":         "Species,Depth (m),Tag\nSaturday April 12 2025,,\ngag,30,A1\ngag,31,A2\nSunday April 13 2025,,\ngag,32,A3\n",
		"in the middle":    "Species,Depth (m),Tag\n,April 12 2025,\ngag,30,A1\ngag,31,A2\n,April 13 2025,\ngag,32,A3\n",
		"in figures":       "Species,Depth (m),Tag\n12/04/2025,,\ngag,30,A1\ngag,31,A2\n13/04/2025,,\ngag,32,A3\n",
		"in Spanish":       "Species,Depth (m),Tag\nsábado 12 de abril de 2025,,\ngag,30,A1\ngag,31,A2\ndomingo 13 de abril de 2025,,\ngag,32,A3\n",
		"with wider lines": "Species,Depth (m),Tag\n2025-04-12\ngag,30,A1,x\ngag,31,A2\n2025-04-13\ngag,32,A3\n",
		"written twice":    "Species,Depth (m),Tag\n2025-04-12,2025-04-12,\ngag,30,A1\ngag,31,A2\n2025-04-13,,\ngag,32,A3\n",
	} {
		s := sheetOf(t, text, options())
		require.NoError(t, s.Ready(), name)
		require.Len(t, s.Rows, 3, name)
		for i, day := range []int{12, 12, 13} {
			assert.Equal(t, time.Date(2025, 4, day, 0, 0, 0, 0, time.UTC), s.Rows[i].Entries[0].Report.CaughtAt, name)
		}
		require.NotEmpty(t, s.Notes, name)
		assert.Contains(t, s.Notes[0].String(), "a day on a line of its own, as in line 2", name)
	}
}

func TestDayNumbersOnLinesOfTheirOwnAreDaysInAWorkbookOnly(t *testing.T) {
	day := time.Date(2025, 4, 12, 0, 0, 0, 0, time.UTC)
	data := workbook(t, map[string][][]any{"Log": {{"Species", "Depth (m)"}, {day}, {"gag", 30}}}, "Log")
	s, err := Read(bytes.NewReader(data), "log.xlsx", options())
	require.NoError(t, err)
	require.NoError(t, s.Ready())
	assert.Equal(t, day, s.Rows[0].Entries[0].Report.CaughtAt)

	c := sheetOf(t, "Species,Depth (m)\n45759,\ngag,30\n", options())
	require.NotEmpty(t, c.Questions, "a bare figure in a CSV is no day")
	assert.Contains(t, c.Questions[0].Text, "no column is the date")
}

// With a column of dates a lone day is no fish and takes no other's date.
func TestAColumnOfDatesGoesBeforeLinesOfDays(t *testing.T) {
	s := sheetOf(t, "Date,Species,Depth (m)\n2025-04-10,gag,30\n2025-04-12,,\n,gag,31\n", options())
	require.Len(t, s.Rows, 2)
	assert.Equal(t, 10, s.Rows[0].Entries[0].Report.CaughtAt.Day())
	assert.Contains(t, told(s)[0], "line 3 is no fish and is left out")
	require.Len(t, s.Rows[1].Problems, 1)
	assert.Contains(t, s.Rows[1].Problems[0].String(), "the date is missing")
}

func TestFishAboveTheFirstDayHaveNone(t *testing.T) {
	s := sheetOf(t, "Species,Depth (m)\ngag,30\n2025-04-12,\ngag,31\n", options())
	require.Len(t, s.Rows, 2)
	require.Len(t, s.Rows[0].Problems, 1)
	assert.Contains(t, s.Rows[0].Problems[0].String(), "the date is missing")
	assert.Len(t, s.Rows[1].Entries, 1)
}

// Sums, means and headings of a new page amid the table are no fish; each is told.
func TestLinesAmidTheTableThatAreNoFishAreLeftOut(t *testing.T) {
	head := "Date,Species,Depth (m),Tag"
	rows := head + "\n2025-04-10,gag,30,A1\nLINE\n2025-04-11,gag,31,A2\n"
	for _, l := range []string{
		"Total trip 1,,2,", ",,Total do dia,14", "Subtotal,2,,", "Sous-total,,,", "Day total,,2,", "Average,,30.5,", "Promedio,,30,", ",Média,30,", "Trip total: 2 fish,,,", head,
		"moved to the north ledge,,,", "* wind too strong,,,",
	} {
		s := sheetOf(t, withLine(rows, l), options())
		require.NoError(t, s.Ready(), l)
		require.Len(t, s.Rows, 2, l)
		assert.Contains(t, told(s)[0], "line 3 is no fish and is left out", l)
	}
	for _, l := range []string{
		"2025-04-10,total mystery,30,A3", "2025-04-10,,30,A3", "2025-04-10,gag,30,", ",gag,30,A3", ",gag,,",
	} {
		s := sheetOf(t, withLine(rows, l), options())
		assert.Len(t, s.Rows, 3, "%s may be a fish", l)
	}
}

func withLine(rows, l string) string {
	return string(bytes.Replace([]byte(rows), []byte("LINE"), []byte(l), 1))
}

func TestOrdinalsAndDaysOfTheWeekStandInDates(t *testing.T) {
	want := civil{2025, 5, 1}
	for _, text := range []string{
		"1er mai 2025", "1º de maio de 2025", "1º mayo 2025", "1st May 2025", "May 1st, 2025", "jeudi 1er mai 2025", "jueves 1 de mayo de 2025", "quinta-feira, 1 de maio de 2025",
		"Thursday 1 May 2025", "Thu 1-May-2025",
	} {
		m, err := readMoment(text, &table{})
		require.NoError(t, err, text)
		assert.Equal(t, want, m.day, text)
	}
	for _, text := range []string{"1er", "er mai 2025", "1er 2 mai 2025", "mai 2025", "32er mai 2025"} {
		_, err := readMoment(text, &table{})
		assert.Error(t, err, text)
	}
}

// 14.1.23 and 28.1.23 are of January: in 2028 nobody has fished, and 2014 and 2015 on the
// 23rd alone is no season.
func TestTheYearStandsFirstOnlyWhereItMay(t *testing.T) {
	o := options()
	for _, c := range []struct {
		dates []string
		first civil
	}{
		{[]string{"14.1.23", "15.1.23", "28.1.23"}, civil{2023, 1, 14}},
		{[]string{"14.01.23", "16.02.23", "19.03.23"}, civil{2023, 1, 14}},
	} {
		text := "Date;Species;Depth (m)\n"
		for _, d := range c.dates {
			text += d + ";gag;30\n"
		}
		s := sheetOf(t, text, o)
		require.NoError(t, s.Ready(), c.dates)
		assert.Equal(t, c.first, civilOf(s.Rows[0].Entries[0].Report.CaughtAt))
	}
	for _, dates := range [][]string{{"14.1.23", "14.2.24", "14.3.22"}, {"3.4.25", "5.6.25"}} {
		text := "Date;Species;Depth (m)\n"
		for _, d := range dates {
			text += d + ";gag;30\n"
		}
		s := sheetOf(t, text, o)
		require.NotEmpty(t, s.Questions, dates)
		assert.Contains(t, s.Questions[0].Text, "can be read")
	}
}
