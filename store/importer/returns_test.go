package importer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// daysOf are the days of all reports of a file, with an R before those of recaptures.
func daysOf(t *testing.T, text string, o Options) (list []string) {
	t.Helper()
	for _, r := range reports(t, text, o) {
		day := r.CaughtAt.Format(time.DateOnly)
		if r.Recapture {
			day = "R " + day
		}
		list = append(list, day)
	}
	return list
}

// A recapture is on the day that is told, so many days after the release, or right after it
// where nobody told when.
func TestDayOfARecapture(t *testing.T) {
	const head = "Date,Fish,Tag,Recaptured,Recapture date,Days at liberty\n"
	for name, c := range map[string]struct {
		row  string
		want []string
	}{
		"a day":                {"2025-03-04,gag,A1,yes,2025-06-10,", []string{"2025-03-04", "R 2025-06-10"}},
		"days between":         {"2025-03-04,gag,A1,yes,,30", []string{"2025-03-04", "R 2025-04-03"}},
		"both":                 {"2025-03-04,gag,A1,yes,2025-04-03,30", []string{"2025-03-04", "R 2025-04-03"}},
		"the day goes before":  {"2025-03-04,gag,A1,yes,2025-04-10,30", []string{"2025-03-04", "R 2025-04-10"}},
		"no day":               {"2025-03-04,gag,A1,yes,,", []string{"2025-03-04", "R 2025-03-04"}},
		"not seen again":       {"2025-03-04,gag,A1,no,,", []string{"2025-03-04"}},
		"not seen, 0 days":     {"2025-03-04,gag,A1,no,,0", []string{"2025-03-04"}},
		"nothing said":         {"2025-03-04,gag,A1,,,", []string{"2025-03-04"}},
		"a day by itself":      {"2025-03-04,gag,A1,,2025-06-10,", []string{"2025-03-04", "R 2025-06-10"}},
		"on the day it was in": {"2025-03-04,gag,A1,yes,2025-03-04,", []string{"2025-03-04", "R 2025-03-04"}},
	} {
		assert.Equal(t, c.want, daysOf(t, head+c.row+"\n2025-03-04,gag,B1,yes,2025-06-10,98\n", options())[:len(c.want)], name)
	}
	same := reports(t, head+"2025-03-04,gag,A1,yes,2025-03-04,\n", options())
	assert.Equal(t, time.Second, same[1].CaughtAt.Sub(same[0].CaughtAt), "right behind the release")
	unknown := reports(t, head+"2025-03-04,gag,A1,yes,,\n2025-03-04,gag,B1,yes,2025-06-10,98\n", options())
	assert.Contains(t, unknown[1].Flags, FlagRecaptureDateUnknown)
	assert.NotContains(t, unknown[3].Flags, FlagRecaptureDateUnknown)
}

// What cannot be of a recapture keeps the line out; days that do not fit the dates by more
// than a day and a half are told.
func TestRecaptureThatDoesNotFitItsRelease(t *testing.T) {
	const head = "Date,Fish,Tag,Recaptured,Recapture date,Days at liberty\n"
	const good = "2025-03-04,gag,B1,yes,2025-06-10,98\n"
	for row, says := range map[string]string{
		"2025-03-04,gag,A1,yes,2025-03-03,":    "the recapture is before the release",
		"2025-03-04,gag,A1,no,2025-06-10,":     "it says that the fish was not recaptured, and when it was",
		"2025-03-04,gag,A1,no,,30":             "it says that the fish was not recaptured, and when it was",
		"2025-03-04,gag,A1,yes,,21901":         "is no number of days",
		"2025-03-04,gag,A1,yes,2025-02-30,":    "is no date",
		"2025-03-04,gag,A1,yes,,-3":            "is no number of days",
		"2025-03-04,gag,A1,yes,1899-06-10,100": "is no date",
	} {
		s := sheetOf(t, head+row+"\n"+good, options())
		require.NotEmpty(t, s.Rows[0].Problems, row)
		assert.Contains(t, s.Rows[0].Problems[0].String(), says, row)
		assert.Empty(t, s.Rows[0].Entries, row)
	}
	for days, told := range map[string]bool{"98": false, "97": false, "99": false, "96": true, "100": true} {
		s := sheetOf(t, head+"2025-03-04,gag,A1,yes,2025-06-10,"+days+"\n"+good, options())
		require.NoError(t, s.Ready(), days)
		assert.Equal(t, told, len(s.Rows[0].Notes) > 0, days)
	}
}

// What is told of the recapture is its own: nothing of the release is said of it.
func TestRecaptureHasItsOwnFigures(t *testing.T) {
	const head = "Date,Fish,Tag,Depth (m),FL (cm),Release method,Recapture date,Recapture depth (m),Recapture FL (cm),Recapture kept\n"
	list := reports(t, head+"2025-03-04,gag,A1,40,52,descended,2025-06-10,35,55,yes\n2025-03-05,gag,A2,41,53,vented,2025-06-11,,,no\n", options())
	require.Len(t, list, 4)
	assert.Equal(t, 35.0, *list[1].DepthM)
	assert.Equal(t, 55.0, *list[1].LengthCm)
	assert.Equal(t, advisor.ForkLength, list[1].LengthType)
	assert.Equal(t, advisor.Kept, list[1].Method)
	assert.Equal(t, "A1", list[1].Tag)
	assert.Equal(t, list[0].Species, list[1].Species)
	assert.Nil(t, list[3].DepthM)
	assert.Nil(t, list[3].LengthCm)
	assert.Empty(t, list[3].Method)
}

// Lines that repeat a release, each with a return of its own, are one release.
func TestReleaseThatIsRepeatedCountsOnce(t *testing.T) {
	const head = "Date,Fish,Tag,Recaptured,Recapture date\n"
	days := daysOf(t, head+"2025-03-04,gag,A1,yes,2025-06-10\n2025-03-04,gag,A1,yes,2025-08-01\n2025-03-04,gag,A2,no,\n", options())
	assert.Equal(t, []string{"2025-03-04", "R 2025-06-10", "R 2025-08-01", "2025-03-04"}, days)
	days = daysOf(t, head+"2025-03-04,gag,A1,yes,2025-06-10\n2025-03-04,gag,A1,yes,2025-06-10\n", options())
	assert.Equal(t, []string{"2025-03-04", "R 2025-06-10"}, days, "the same return twice is one")
	s := sheetOf(t, head+"2025-03-04,gag,A1,yes,2025-06-10\n2025-03-04,gag,A1,yes,2025-08-01\n", options())
	assert.Contains(t, notesOf(s), "1 lines repeat a release")
	require.Len(t, s.Rows[1].Notes, 1)
	assert.Contains(t, s.Rows[1].Notes[0], "repeats the release in line 2")
	days = daysOf(t, head+"2025-03-04,gag,A1,no,\n2025-03-05,gag,A1,no,\n", options())
	assert.Len(t, days, 2, "on another day it is another release")
}

// A file of recaptures alone is read as such where that is said, and joined to its releases.
func TestFileOfRecapturesAlone(t *testing.T) {
	o := options()
	o.Recaptures = ReturnsOnly
	text := "Tag,Recapture date,Recapture depth (m)\nA1,2025-06-10,35\nA9,2025-07-01,20\n"
	returns := sheetOf(t, text, o)
	require.NoError(t, returns.Ready())
	for e := range returns.Entries() {
		assert.True(t, e.Report.Recapture)
		assert.NotNil(t, e.Report.DepthM, "of the line itself")
		assert.Empty(t, e.Report.Species)
	}
	releases := sheetOf(t, "Tag,Date,Fish,Depth (m),Release method\nA1,2025-03-04,gag,40,descended\nA2,2025-03-05,red snapper,30,vented\n", options())
	assert.Equal(t, 1, releases.LetGoBefore(returns))
	assert.Equal(t, 0, returns.LetGoBefore(releases))
	known, unknown := releases.Join(returns)
	assert.Equal(t, []int{1, 1}, []int{known, unknown})
	require.Len(t, releases.Rows, 4)
	joined := releases.Rows[2].Entries[0].Report
	assert.Equal(t, "Mycteroperca microlepis", joined.Species, "of the release")
	assert.Equal(t, "log.csv", releases.Rows[2].File)
	assert.Empty(t, releases.Rows[3].Entries[0].Report.Species, "nobody knows")
	early := sheetOf(t, "Tag,Recapture date\nA1,2025-03-04\n", o)
	assert.Zero(t, releases.LetGoBefore(early), "on the day of the release it is no return yet")
}

// One tag put in twice, with no sighting between, cannot be right and is told.
func TestTagThatWasPutInTwiceIsTold(t *testing.T) {
	for name, c := range map[string]struct {
		rows  string
		twice bool
	}{
		"twice":                    {"2025-03-04,gag,A1,descended,\n2025-05-04,gag,A1,vented,\n", true},
		"two tags":                 {"2025-03-04,gag,A1,descended,\n2025-05-04,gag,A2,vented,\n", false},
		"seen again between":       {"2025-03-04,gag,A1,descended,2025-04-01\n2025-05-04,gag,A1,vented,\n", false},
		"no tags":                  {"2025-03-04,gag,,descended,\n2025-05-04,gag,,vented,\n", false},
		"the same tag, as written": {"2025-03-04,gag,a-1,descended,\n2025-05-04,gag,A1,vented,\n", true},
	} {
		s := sheetOf(t, "Date,Fish,Tag,Release method,Recapture date\n"+c.rows, options())
		require.NoError(t, s.Ready(), name)
		assert.Equal(t, c.twice, len(s.Rows[1].Notes) == 1, "%s: %v", name, s.Rows[1].Notes)
	}
}
