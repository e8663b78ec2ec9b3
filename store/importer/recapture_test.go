package importer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// reports are all reports of a file without questions or problems.
func reports(t *testing.T, text string, o Options) []*catch.Report {
	t.Helper()
	s := sheetOf(t, text, o)
	require.NoError(t, s.Ready())
	var list []*catch.Report
	for e := range s.Entries() {
		list = append(list, e.Report)
	}
	return list
}

func TestYesUnderRecapturedIsSeenLaterOrThisRow(t *testing.T) {
	for _, c := range []struct {
		name, text string
		say        Recaptures
		reports    int
		first      bool // the first report is a recapture
		asks       bool
	}{
		{"a date of the recapture", "Date,Fish,Tag,Recaptured,Recapture date\n2025-03-04,gag,A1,yes,2025-04-04\n", "", 2, false, false},
		{"days at liberty", "Date,Fish,Tag,Recaptured,Days at liberty\n2025-03-04,gag,A1,1,30\n", "", 2, false, false},
		{"days alone", "Date,Fish,Tag,Days at liberty\n2025-03-04,gag,A1,30\n", "", 2, false, false},
		{"the tag stands in an earlier row", "Date,Fish,Tag,Recap?\n2025-03-04,gag,A1,no\n2025-04-04,gag,A1,yes\n", "", 2, false, false},
		{"the cells speak of the row", "Date,Fish,Tag,Event\n2025-03-04,gag,A1,recapture\n", "", 1, true, false},
		{"tagging and recapture by letter", "Date,Fish,Tag,Event\n2025-03-04,gag,A1,T\n2025-04-04,gag,A1,R\n", "", 2, false, false},
		{"a letter that may speak of the fish", "Date,Fish,Tag,Recap code\n2025-03-04,gag,A1,NR\n2025-04-04,gag,A2,R\n", "", 0, false, true},
		{"how often it was seen", "Date,Fish,Times recaptured\n2025-03-04,gag,0\n2025-04-04,gag,3\n", "", 3, false, false},
		{"each tag once", "Date,Fish,Tag,Recap?\n2025-03-04,gag,A1,no\n2025-04-04,gag,A2,yes\n", "", 0, false, true},
		{"a tag used twice by mistake does not turn the file round", "Date,Fish,Tag,Recap,Recapture date\n2025-03-04,gag,A1,1,2025-04-04\n2025-03-05,gag,A2,1,2025-04-04\n2025-05-04,gag,A2,0,\n", "", 5, false, false},
		{"dates of recaptures, and some of the tags in earlier rows", "Date,Fish,Tag,Recap,Recapture date\n2025-03-04,gag,A1,1,2025-04-04\n2025-03-05,gag,A2,1,2025-04-04\n2025-02-04,gag,A2,0,\n", "", 0, false, true},
		{"said: later", "Date,Fish,Tag,Recap?\n2025-03-04,gag,A2,yes\n", SeenLater, 2, false, false},
		{"said: the row", "Date,Fish,Tag,Recap?\n2025-03-04,gag,A2,yes\n", RowIsRecapture, 1, true, false},
		{"no tags at all", "Date,Fish,Recaptured\n2025-03-04,gag,1\n2025-03-04,gag,0\n", "", 3, false, false},
		{"nobody was seen again", "Date,Fish,Tag,Recaptured\n2025-03-04,gag,A1,0\n", "", 1, false, false},
	} {
		o := options()
		o.Recaptures = c.say
		if c.asks {
			s := sheetOf(t, c.text, o)
			require.Len(t, s.Questions, 1, c.name)
			assert.Contains(t, s.Questions[0].Text, "--recaptures", c.name)
			continue
		}
		list := reports(t, c.text, o)
		require.Len(t, list, c.reports, c.name)
		assert.Equal(t, c.first, list[0].Recapture, c.name)
	}
}

func TestReleaseAndRecaptureAreJoinedByTheTag(t *testing.T) {
	list := reports(t, "Date,Fish,Depth m,FL mm,Tag #,Vented,Recaptured,Recapture date,Recapture length mm,Recap lat,Recap lon\n"+
		"2025-03-04,gag,30,400,ab-001,1,1,2025-06-04,430,-31.2,-18.3\n", options())
	require.Len(t, list, 2)
	first, again := list[0], list[1]
	assert.Equal(t, "AB001", first.Tag)
	assert.Equal(t, first.Tag, again.Tag)
	assert.True(t, again.Recapture)
	assert.Equal(t, "2025-06-04", again.CaughtAt.Format("2006-01-02"))
	assert.InDelta(t, 43, *again.LengthCm, 1e-9)
	assert.Nil(t, again.DepthM, "nobody told the depth of the recapture")
	assert.Empty(t, again.Method)
	assert.Equal(t, &catch.Cell{Lat: -312, Lon: -183}, again.Cell)
	assert.Nil(t, first.Cell)
	assert.Empty(t, first.Flags)
}

func TestTagIsMadeWhereTheSheetHasNone(t *testing.T) {
	text := "Date,Fish,Depth m,Recaptured\n2025-03-04,gag,30,1\n2025-03-04,gag,30,0\n2025-03-04,gag,30,0\n"
	list := reports(t, text, options())
	require.Len(t, list, 4)
	assert.Equal(t, list[0].Tag, list[1].Tag, "release and recapture")
	tags := map[string]bool{}
	for _, r := range list {
		assert.Regexp(t, `^ROW[A-Z2-7]{10}$`, r.Tag)
		assert.Contains(t, r.Flags, FlagTagInvented)
		tags[r.Tag] = true
	}
	assert.Len(t, tags, 3, "three fish")
	assert.Equal(t, list[0].Tag, reports(t, text, options())[0].Tag, "the same each time")
	assert.Equal(t, []string{FlagTagInvented, FlagRecaptureDateUnknown}, list[1].Flags)
	assert.True(t, list[1].CaughtAt.After(list[0].CaughtAt), "in order all the same")
	assert.True(t, list[1].DateOnly)

	mixed := reports(t, "Date,Fish,Tag,Recaptured,Recapture date\n2025-03-04,gag,,1,2025-04-04\n2025-03-04,gag,,0,\n2025-03-04,gag,A1,0,\n", options())
	assert.Regexp(t, `^ROW`, mixed[0].Tag)
	assert.Empty(t, mixed[2].Tag, "not tagged is not tagged")
	assert.Equal(t, "A1", mixed[3].Tag)
}

func TestRecapturesThatCannotBeAreProblems(t *testing.T) {
	head := "Date,Fish,Tag,Recaptured,Recapture date,Days at liberty\n"
	for row, says := range map[string]string{
		"2025-03-04,gag,A1,no,2025-04-04,":  "was not recaptured, and when it was",
		"2025-03-04,gag,A1,yes,2025-02-04,": "before the release",
		"2025-03-04,gag,A1,yes,soon,":       `"soon" is no date`,
		"2025-03-04,gag,A1,yes,,-3":         "is no number of days",
	} {
		s := sheetOf(t, head+row+"\n", options())
		require.ErrorIs(t, s.Ready(), ErrProblems, row)
		assert.ErrorContains(t, s.Ready(), says, row)
		assert.Empty(t, s.Rows[0].Entries)
	}
}

func TestDoubtsAboutTagsAreTold(t *testing.T) {
	s := sheetOf(t, "Date,Fish,Tag,Recaptured,Recapture date,Days at liberty\n"+
		"2025-03-04,gag,A1,no,,\n2025-03-09,gag,A1,no,,\n2025-03-04,gag,A2,yes,2025-04-04,10\n2025-03-04,gag,A3,yes,2025-03-04,0\n", options())
	require.NoError(t, s.Ready(), "doubts do not stop the import")
	assert.Contains(t, strings.Join(s.Rows[1].Notes, ""), "tag A1 was also put in at line 2")
	assert.Contains(t, strings.Join(s.Rows[2].Notes, ""), "31 days later by the dates, 10 by the column")
	require.Len(t, s.Rows[3].Entries, 2, "seen again on the same day")
	assert.True(t, s.Rows[3].Entries[1].Report.CaughtAt.After(s.Rows[3].Entries[0].Report.CaughtAt))
}
