package importer

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// The day and the time of a fish stand in one column, in two, in three or in five; what of
// it is not told is not made up.
func TestDayAndTimeOfAFish(t *testing.T) {
	for _, c := range []struct {
		name, head, row string
		want            string
		dateOnly        bool
	}{
		{"no time", "Date", "2025-03-04", "2025-03-04 00:00:00", true},
		{"in one cell", "Date", "2025-03-04 14:20", "2025-03-04 14:20:00", false},
		{"a column of its own", "Date,Time", "2025-03-04,14:20", "2025-03-04 14:20:00", false},
		{"the cell of the date goes before", "Date,Time", "2025-03-04 09:00,14:20", "2025-03-04 09:00:00", false},
		{"afternoon", "Date,Time", "2025-03-04,2:20 pm", "2025-03-04 14:20:00", false},
		{"noon", "Date,Time", "2025-03-04,12:00 pm", "2025-03-04 12:00:00", false},
		{"midnight", "Date,Time", "2025-03-04,12:00 am", "2025-03-04 00:00:00", false},
		{"four figures", "Date,Time", "2025-03-04,0745", "2025-03-04 07:45:00", false},
		{"seconds", "Date,Time", "2025-03-04,07:45:30", "2025-03-04 07:45:30", false},
		{"hours of a column of hours", "Date,Hour", "2025-03-04,7", "2025-03-04 07:00:00", false},
		{"no time told", "Date,Time", "2025-03-04,n/a", "2025-03-04 00:00:00", true},
		{"words are no time", "Date,Time", "2025-03-04,dawn", "2025-03-04 00:00:00", true},
		{"an hour is no time elsewhere", "Date,Time", "2025-03-04,7", "2025-03-04 00:00:00", true},
		{"three columns", "Year,Month,Day", "2025,3,4", "2025-03-04 00:00:00", true},
		{"a month by name", "Year,Month,Day", "2025,September,4", "2025-09-04 00:00:00", true},
		{"a Spanish month", "Año,Mes,Día", "2025,marzo,4", "2025-03-04 00:00:00", true},
		{"a Portuguese month", "Ano,Mês,Dia", "2025,fevereiro,4", "2025-02-04 00:00:00", true},
		{"a French month in a date", "Date", "4 août 2025", "2025-08-04 00:00:00", true},
		{"three columns and a time", "Year,Month,Day,Time", "2025,3,4,06:10", "2025-03-04 06:10:00", false},
		{"a year of two digits", "Year,Month,Day", "24,3,4", "2024-03-04 00:00:00", true},
		{"a year of the century before", "Year,Month,Day", "97,3,4", "1997-03-04 00:00:00", true},
		{"figures of a workbook", "Year,Month,Day", "2025.0,3.0,4.0", "2025-03-04 00:00:00", true},
		// Day 60 is 29 February in a leap year and 1 March in any other.
		{"day of a leap year", "Year,Julian day", "2024,60", "2024-02-29 00:00:00", true},
		{"day of a common year", "Year,Julian day", "2025,60", "2025-03-01 00:00:00", true},
		{"the last day of a leap year", "Year,Julian day", "2024,366", "2024-12-31 00:00:00", true},
	} {
		r := only(t, c.head+",Fish\n"+c.row+",gag\n", options())
		assert.Equal(t, c.want, r.CaughtAt.Format(time.DateTime), c.name)
		assert.Equal(t, c.dateOnly, r.DateOnly, c.name)
	}
}

// What is no day keeps its line out, and says why.
func TestDaysThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, head, row, says string }{
		{"no such day", "Date", "2025-02-30", "no date"},
		{"before any log of a club", "Date", "1899-12-31", "no date"},
		{"not told", "Date,Tag", ",A1", "the date is missing"},
		{"still to come", "Date", "2026-01-12", "2026-01-12 is still to come"},
		{"no such month", "Year,Month,Day", "2025,13,4", "make no date"},
		{"no such day of three columns", "Year,Month,Day", "2025,2,30", "make no date"},
		{"too early in three columns", "Year,Month,Day", "1899,2,3", "make no date"},
		{"one of three is missing", "Year,Month,Day", "2025,,4", "no date"},
		{"day 0 of a year", "Year,Julian day", "2025,0", "no date"},
		{"day 367 of a year", "Year,Julian day", "2025,367", "no date"},
	} {
		s := sheetOf(t, c.head+",Fish\n"+c.row+",gag\n", options())
		require.Len(t, s.Rows, 1, c.name)
		require.NotEmpty(t, s.Rows[0].Problems, c.name)
		assert.Contains(t, s.Rows[0].Problems[0].String(), c.says, c.name)
		assert.Empty(t, s.Rows[0].Entries, c.name)
	}
}

// A day of tomorrow can be that of today elsewhere on the earth; the day after cannot.
func TestTomorrowMayBeTodayElsewhere(t *testing.T) {
	for day, taken := range map[string]bool{"2026-01-10": true, "2026-01-11": true, "2026-01-12": false, "2027-01-10": false} {
		s := sheetOf(t, "Date,Fish\n"+day+",gag\n", options())
		assert.Equal(t, taken, len(s.Rows[0].Entries) == 1, day)
	}
	o := options()
	o.Now = time.Time{}
	assert.NoError(t, sheetOf(t, "Date,Fish\n2040-01-12,gag\n", o).Ready(), "without a clock nothing is too late")
}

// A time of day is one of the zone that was said, of the zone that the cell names, or of
// none that is known: then the report says so.
func TestTimesAreOfTheZoneThatWasTold(t *testing.T) {
	east := time.FixedZone("", 10*3600)
	for _, c := range []struct {
		name, row string
		zone      *time.Location
		want      string // in UTC
		unknown   bool
	}{
		{"nobody told", "2025-03-04 14:20", nil, "2025-03-04 14:20", true},
		{"said for the file", "2025-03-04 14:20", east, "2025-03-04 04:20", false},
		{"said by the cell", "2025-03-04T14:20:00Z", nil, "2025-03-04 14:20", false},
		{"the cell goes before", "2025-03-04T14:20:00-05:00", east, "2025-03-04 19:20", false},
		{"a day alone has no time", "2025-03-04", nil, "2025-03-04 00:00", false},
	} {
		o := options()
		o.Zone = c.zone
		s := sheetOf(t, "Date,Fish\n"+c.row+",gag\n", o)
		require.NoError(t, s.Ready(), c.name)
		r := s.Rows[0].Entries[0].Report
		assert.Equal(t, c.want, r.CaughtAt.UTC().Format("2006-01-02 15:04"), c.name)
		if c.unknown {
			assert.Contains(t, r.Flags, catch.ZoneUnknown, c.name)
			assert.Contains(t, notesOf(s), "no known zone", c.name)
		} else {
			assert.NotContains(t, r.Flags, catch.ZoneUnknown, c.name)
			assert.NotContains(t, notesOf(s), "no known zone", c.name)
		}
	}
}

// notesOf are the notes of a sheet, one a line.
func notesOf(s *Sheet) (text string) {
	for _, n := range s.Notes {
		text += n.String() + "\n"
	}
	return text
}

// Rows without a day, or with a part of one, take from what was said for the file only what
// they lack, and the report tells that.
func TestRowsWithoutADayTakeWhatWasSaid(t *testing.T) {
	for _, c := range []struct{ name, head, row, said, want string }{
		{"the whole day", "Date", "", "2016-07-01", "2016-07-01"},
		{"the year is told", "Date", "2015", "2016-07-01", "2015-07-01"},
		{"year and month are told", "Date", "2015-08", "2016-07-02", "2015-08-02"},
		{"month before year", "Date", "08/2015", "2016-07-02", "2015-08-02"},
		{"a month by name", "Date", "Aug 2015", "2016-07-02", "2015-08-02"},
		{"the month of the row is shorter", "Date", "2015-02", "2016-07-31", "2015-02-28"},
		{"the month of a leap year", "Date", "2016-02", "2017-07-31", "2016-02-29"},
		{"only a month is said", "Year,Month,Day", ",,4", "2016-07", "2016-07-04"},
		{"only a year is said", "Year,Month,Day", ",9,4", "2016", "2016-09-04"},
		{"a month in words", "Year,Month,Day", ",Sept,4", "2016", "2016-09-04"},
		{"the year has two digits", "Year,Month,Day", "14,,", "2016-07-01", "2014-07-01"},
	} {
		o := options()
		o.Date = c.said
		r := only(t, c.head+",Fish\n"+c.row+",gag\n", o)
		assert.Equal(t, c.want, r.CaughtAt.Format(time.DateOnly), c.name)
		assert.Contains(t, r.Flags, FlagDateFilled, c.name)
		assert.True(t, r.DateOnly, c.name)
	}
	o := options()
	o.Date = "2016-07-01"
	r := only(t, "Date,Fish\n2015-08-09,gag\n", o)
	assert.Equal(t, "2015-08-09", r.CaughtAt.Format(time.DateOnly), "a day that is told is not touched")
	assert.NotContains(t, r.Flags, FlagDateFilled)
	r = only(t, "Fish,Tag\ngag,A1\n", o)
	assert.Equal(t, "2016-07-01", r.CaughtAt.Format(time.DateOnly), "a log without a column of days")
}

func TestWhatIsNoDayForTheFileIsRefused(t *testing.T) {
	for _, said := range []string{"soon", "2016-13", "2016-07-32", "1899", "07-01", "2016-7-1-1"} {
		o := options()
		o.Date = said
		_, err := Read(strings.NewReader("Date,Fish\n,gag\n"), "log.csv", o)
		assert.ErrorIs(t, err, ErrOption, said)
	}
	for _, c := range []struct{ said, row string }{{"2016", "2015"}, {"2016", ""}, {"2016-07", "2015-08"}} {
		o := options()
		o.Date = c.said
		s := sheetOf(t, "Date,Fish\n"+c.row+",gag\n", o)
		require.Len(t, s.Rows[0].Problems, 1, c.said)
		assert.Contains(t, s.Rows[0].Problems[0].String(), "the date is not whole", c.said)
	}
}

// A column of days or months whose cells are none is left out; then the day is asked for, or
// no fish of the file would be kept and nobody would know.
func TestDayIsAskedForWhereItsColumnHoldsNone(t *testing.T) {
	for _, text := range []string{
		"Year,Month,Day,Fish\n2025,3,4.5,gag\n", "Year,Month,Day,Fish\n2025,later,4,gag\n", "Year,Month,Day,Fish\n2025,x,4,gag\n2025,y,5,gag\n",
	} {
		s := sheetOf(t, text, options())
		require.Len(t, s.Questions, 1, text)
		assert.Contains(t, s.Questions[0].Text, "--date", text)
		assert.ErrorIs(t, s.Ready(), ErrAsk, text)
	}
	s := sheetOf(t, "Year,Month,Day,Fish\n2025,later,4,gag\n2025,3,4,gag\n", options())
	assert.Empty(t, s.Questions)
	require.Len(t, s.Rows[0].Problems, 1, "one line among others")
	assert.Contains(t, s.Rows[0].Problems[0].String(), "line 2, Month: \"later\" is no date")
	assert.Len(t, s.Rows[1].Entries, 1)
}
