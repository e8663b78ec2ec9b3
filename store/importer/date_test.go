package importer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDatesAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		cell  string
		order DateOrder
		want  civil
		clock int // seconds, -1 for none
	}{
		{"2024-03-05", "", civil{2024, 3, 5}, -1},
		{"2024/3/5", "", civil{2024, 3, 5}, -1},
		{"20240305", "", civil{2024, 3, 5}, -1},
		{"2024-03-05 14:20", "", civil{2024, 3, 5}, 51600},
		{"2024-03-05T14:20:30Z", "", civil{2024, 3, 5}, 51630},
		{"05/03/2024", DayMonthYear, civil{2024, 3, 5}, -1},
		{"05/03/2024", MonthDayYear, civil{2024, 5, 3}, -1},
		{"5.3.24", DayMonthYear, civil{2024, 3, 5}, -1},
		{"24-03-05", YearMonthDay, civil{2024, 3, 5}, -1},
		{"5-3-97", DayMonthYear, civil{1997, 3, 5}, -1},
		{"18-Apr-22", "", civil{2022, 4, 18}, -1},
		{"18apr2022", "", civil{2022, 4, 18}, -1},
		{"April 18, 2022", "", civil{2022, 4, 18}, -1},
		{"Mon 18th April 2022", "", civil{2022, 4, 18}, -1},
		{"1 August 2022", "", civil{2022, 8, 1}, -1},
		{"2022 Apr 18", "", civil{2022, 4, 18}, -1},
		{"18 de abril de 2022", "", civil{2022, 4, 18}, -1},
		{"3 février 2021", "", civil{2021, 2, 3}, -1},
		{"4/18/22 2:20 pm", MonthDayYear, civil{2022, 4, 18}, 51600},
		{"29 Feb 2024", "", civil{2024, 2, 29}, -1},
	} {
		m, err := readMoment(c.cell, &table{})
		require.NoError(t, err, c.cell)
		day, err := m.in(c.order, 2026)
		require.NoError(t, err, c.cell)
		assert.Equal(t, c.want, day, c.cell)
		if c.clock >= 0 {
			assert.True(t, m.clock.known, c.cell)
			assert.Equal(t, c.clock, m.clock.seconds, c.cell)
		} else {
			assert.False(t, m.clock.known, c.cell)
		}
	}
}

func TestWhatIsNoDateIsRefused(t *testing.T) {
	for cell, want := range map[string]error{
		"soon": errNoDate, "2024-13-01": errNoDate, "30 Feb 2024": errNoDate, "May 2024": errNoDay, "2024-05": errNoDay,
		"29 Feb 2023": errNoDate, "5/2024/3": errNoDate, "123/4/2024": errNoDate, "45000": errNoDate, "2024-03-05 25:00": errNoClock,
	} {
		_, err := readMoment(cell, &table{})
		assert.ErrorIs(t, err, want, cell)
	}
	m, err := readMoment("31/06/2025", &table{})
	require.NoError(t, err)
	_, err = m.in(DayMonthYear, 2026)
	assert.ErrorIs(t, err, errNoDate)
	m, err = readMoment("05/14/2025", &table{})
	require.NoError(t, err)
	_, err = m.in(DayMonthYear, 2026)
	assert.ErrorIs(t, err, errOrder)
}

// Day 45356 of the 1900 calendar is 2024-03-05 (ECMA-376; as LibreOffice shows it).
func TestWorkbookDaysAreDates(t *testing.T) {
	m, err := readMoment("45356", &table{serials: true})
	require.NoError(t, err)
	assert.Equal(t, civil{2024, 3, 5}, m.day)
	m, err = readMoment("45356.5", &table{serials: true})
	require.NoError(t, err)
	assert.Equal(t, 12*3600, m.clock.seconds)
	m, err = readMoment("43894", &table{serials: true, since1904: true})
	require.NoError(t, err)
	assert.Equal(t, civil{2024, 3, 5}, m.day)
}

func TestTimesOfDay(t *testing.T) {
	for cell, want := range map[string]int{
		"9:20": 33600, "9:20 am": 33600, "9:20 PM": 76800, "0920": 33600, "12:00 am": 0, "2 pm": 50400, "14h30": 52200, "23:59:30": 86370,
	} {
		c, err := readClock(cell, false)
		require.NoError(t, err, cell)
		assert.Equal(t, want, c.seconds, cell)
	}
	for _, cell := range []string{"12", "noon", "25:00", "13:00 pm", "9.5", "120"} {
		_, err := readClock(cell, false)
		assert.ErrorIs(t, err, errNoClock, cell)
	}
	c, err := readClock("0.388888888888889", true)
	require.NoError(t, err)
	assert.Equal(t, 33600, c.seconds)
}
