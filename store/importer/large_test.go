package importer

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func large(t *testing.T, text string, o Options) *Large {
	t.Helper()
	l, err := NewLarge(func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }, "old.csv", o, nil)
	require.NoError(t, err)
	l.rows = partRows
	return l
}

const partRows = 500

// manyRows is a table of so many rows, with a quoted line end in every hundredth.
func manyRows(n int, row func(i int) string) string {
	var b strings.Builder
	b.WriteString("Our log\n\nDate,Species,Depth,Tag,Treatment,Notes\n")
	for i := range n {
		note := "calm"
		if i%100 == 0 {
			note = "\"two\nlines\""
		}
		b.WriteString(row(i) + "," + note + "\n")
	}
	return b.String()
}

// A table read in parts gives the same reports, with the same identities, as one that is
// read at once.
func TestLargeTableIsReadAsIfAtOnce(t *testing.T) {
	text := manyRows(2*partRows+500, func(i int) string {
		return fmt.Sprintf("%d/%d/2024,gag,%d,,%s", 1+i%12, 1+i%28, 90+i%7, []string{"D", "V"}[i%2])
	})
	l := large(t, text, options())
	asked := 0
	require.NoError(t, l.Look(func(talk *Talk) error {
		for talk.Next() != nil {
			asked++
			q := talk.Next().Asks()
			switch {
			case strings.Contains(q, "units"):
				require.NoError(t, talk.Answer("2"))
			case strings.Contains(q, `"D"`):
				require.NoError(t, talk.Answer("sent down"))
			default:
				require.NoError(t, talk.Answer("vented"), q)
			}
		}
		return nil
	}))
	assert.Equal(t, 3, asked, "each thing once, for all parts")
	var parts []string
	lines := 0
	require.NoError(t, l.Sheets(func(s *Sheet) error {
		for e := range s.Entries() {
			parts = append(parts, e.ID)
		}
		lines = s.Rows[len(s.Rows)-1].Line
		return nil
	}))
	o := options()
	l.Answers().Fill(&o)
	var whole []string
	s := sheetOf(t, text, o)
	for e := range s.Entries() {
		whole = append(whole, e.ID)
	}
	require.Len(t, parts, len(whole))
	assert.Equal(t, whole, parts)
	assert.Equal(t, s.Rows[len(s.Rows)-1].Line, lines)
	assert.Equal(t, s.Tally(), l.Tally)
}

// A tag whose release stands in an earlier part, or in a later one, is a recapture all the
// same.
func TestTagsAreFollowedFromPartToPart(t *testing.T) {
	n := partRows + 10
	text := manyRows(n, func(i int) string {
		day, tag := "2024-05-01", fmt.Sprintf("T%06d", i)
		switch i {
		case 3, n - 1: // let go in the first part, seen again in the last
			tag = "A1"
		case 4, n - 2: // the other way round
			tag = "B2"
		}
		if i == n-1 || i == 4 {
			day = "2024-08-01"
		}
		return day + ",gag,40 m," + tag + ",descended"
	})
	o := options()
	o.Recaptures = Repeated
	l := large(t, text, o)
	require.NoError(t, l.Look(func(talk *Talk) error { return talk.Sheet().Asked() }))
	again := map[string]string{}
	require.NoError(t, l.Sheets(func(s *Sheet) error {
		for e := range s.Entries() {
			if e.Report.Recapture {
				again[e.Report.Tag] = e.Report.CaughtAt.Format("2006-01-02")
			}
		}
		return nil
	}))
	assert.Equal(t, map[string]string{"A1": "2024-08-01", "B2": "2024-08-01"}, again)
}

func TestPartsThatReadDifferentlyAreNotMixed(t *testing.T) {
	text := "Date,Species,Depth\n" + strings.Repeat("13/2/2024,gag,40 m\n", partRows) + strings.Repeat("2/13/2024,gag,40 m\n", 9)
	err := large(t, text, options()).Look(func(talk *Talk) error { return talk.Sheet().Asked() })
	assert.ErrorIs(t, err, ErrAsk)
	assert.ErrorContains(t, err, "another way")
	for name, data := range map[string]string{"no headings": strings.Repeat("1\n", 40), "nothing": "", "UTF-16": "\xff\xfeD\x00a\x00\n\x00"} {
		l := large(t, data, options())
		assert.Error(t, l.Look(func(*Talk) error { return nil }), name)
	}
}

func TestADayIsPackedWithoutLoss(t *testing.T) {
	for _, day := range []civil{{}, {1900, 1, 1}, {2024, 2, 29}, {2099, 12, 31}, {9999, 12, 31}, {0, 0, 0}, {2024, 0, 0}} {
		assert.Equal(t, day, packed(day).civil())
	}
	for day := (civil{2023, 12, 1}).time(); day.Year() < 2025; day = day.AddDate(0, 0, 1) {
		assert.Equal(t, civilOf(day), packed(civilOf(day)).civil())
		assert.Less(t, packed(civilOf(day)), packed(civilOf(day.AddDate(0, 0, 1))), "later days are larger")
	}
}

// What is told of a file read in parts: how it was read, the first problems with their lines
// in the file, and that some lines are left out.
func TestALargeTableIsSummedUp(t *testing.T) {
	text := manyRows(2*partRows, func(i int) string {
		depth := "40 m"
		if i%25 == 7 {
			depth = "deep"
		}
		return fmt.Sprintf("2024-05-%02d,gag,%s,T%04d,vented", 1+i%28, depth, i)
	})
	l := large(t, text, options())
	require.NoError(t, l.Look(func(talk *Talk) error { return talk.Sheet().Asked() }))
	assert.Equal(t, Tally{Lines: 1000, Understood: 960, Left: 40, Reports: 960}, l.Tally)
	assert.Len(t, l.Problems, problemsShown)
	assert.Equal(t, "2024-05-01", l.First.Format("2006-01-02"))
	assert.Equal(t, "2024-05-28", l.Last.Format("2006-01-02"))
	lines := strings.Split(text, "\n")
	for _, p := range l.Problems {
		assert.Contains(t, lines[p.Line-1], "deep", "line %d of the file", p.Line)
	}
	var b strings.Builder
	require.NoError(t, l.WriteSummary(&b))
	for _, want := range []string{"old.csv (read in parts): 1000 lines, 960 understood (960 reports), 40 with problems", `"Depth": capture depth`, `Depth: "deep" is no figure`, "and 20 more lines with problems"} {
		assert.Contains(t, b.String(), want)
	}
}

// What was answered about the headings before is asked no more.
func TestALargeTableIsReadByEarlierAnswers(t *testing.T) {
	text := manyRows(partRows+1, func(i int) string { return fmt.Sprintf("2024-05-01,gag,40,T%04d,Q", i) })
	open := func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
	headings := ""
	l, err := NewLarge(open, "old.csv", options(), func(h string) Answers {
		headings = h
		return Answers{Units: Metric, Values: map[string]string{"Treatment:Q": "vented"}}
	})
	require.NoError(t, err)
	assert.Equal(t, "date | species | depth | tag | treatment | notes", headings)
	l.rows = partRows
	require.NoError(t, l.Look(func(talk *Talk) error {
		assert.Nil(t, talk.Next())
		return nil
	}))
	assert.Equal(t, partRows+1, l.Tally.Reports)
	broken := fmt.Errorf("the disk is gone")
	_, err = NewLarge(func() (io.ReadCloser, error) { return nil, broken }, "old.csv", options(), func(string) Answers { return Answers{} })
	assert.ErrorIs(t, err, broken)
}

// An error on the way ends the walk, and no goroutine is left waiting.
func TestAnErrorEndsTheReadingOfParts(t *testing.T) {
	text := manyRows(4*partRows, func(i int) string { return fmt.Sprintf("2024-05-01,gag,40 m,T%04d,vented", i) })
	l := large(t, text, options())
	stop := fmt.Errorf("enough of it")
	parts := 0
	err := l.Look(func(*Talk) error {
		parts++
		return stop
	})
	assert.ErrorIs(t, err, stop)
	assert.Equal(t, 1, parts)
	require.NoError(t, l.Look(func(*Talk) error { return nil }))
	parts = 0
	err = l.Sheets(func(*Sheet) error {
		if parts++; parts == 2 {
			return stop
		}
		return nil
	})
	assert.ErrorIs(t, err, stop)
	assert.Equal(t, 2, parts)
}
