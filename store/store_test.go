package store_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

var noon = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)

func open(t testing.TB, dir string) *store.Store {
	t.Helper()
	return openAs(t, dir, store.Options{})
}

// openAs is open with more that is asked of the store.
func openAs(t testing.TB, dir string, o store.Options) *store.Store {
	t.Helper()
	o.KeyFile, o.Now = filepath.Join(dir, "config", "key"), func() time.Time { return noon }
	s, err := store.Open(filepath.Join(dir, "data", "t.db"), o)
	require.NoError(t, err)
	return s
}

// opened is a store that is checked and closed when the test ends, and goes with it: it
// waits for no disk.
func opened(t testing.TB) *store.Store {
	t.Helper()
	s := openAs(t, t.TempDir(), store.Options{Scratch: true})
	t.Cleanup(func() {
		assert.NoError(t, s.Check(context.Background()))
		assert.NoError(t, s.Close())
	})
	return s
}

func report(person catch.PersonID, at time.Time) *catch.Report {
	return &catch.Report{
		Chat: 3, Message: 41, CaughtAt: at, Species: "Mycteroperca microlepis", SpeciesSure: true,
		Capture: advisor.Capture{DepthM: new(40.0)}, Release: advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{40}},
		Personal: catch.Personal{Person: person, Name: "Ada Fenwright", Words: "log gag by the wreck", Lat: new(-31.23456), Lon: new(-18.65432)},
	}
}

func add(t testing.TB, s *store.Store, list ...*catch.Report) {
	t.Helper()
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, r := range list {
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
}

func all(t testing.TB, s *store.Store, f catch.Filter) (list []catch.Report) {
	t.Helper()
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(f) {
			if err != nil {
				return err
			}
			list = append(list, *r)
		}
		return nil
	}))
	return list
}

func TestReportComesBackWhole(t *testing.T) {
	s := opened(t)
	r := report(501, noon)
	add(t, s, r)
	got := all(t, s, catch.Filter{Personal: true})
	require.Len(t, got, 1)
	assert.Equal(t, r.Personal, got[0].Personal)
	assert.Equal(t, catch.Cell{Lat: -313, Lon: -187}, *got[0].Cell)
	assert.True(t, got[0].CaughtAt.Equal(noon))
	assert.Zero(t, all(t, s, catch.Filter{})[0].Personal, "sealed unless asked for")
}

func TestCorrectionKeepsItsNumberAndIsFoundByWhatItSaysNow(t *testing.T) {
	s := opened(t)
	r := report(501, noon)
	r.Tag = "SK-1"
	add(t, s, r)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		r.Tag, r.CaughtAt = "SK-2", noon.Add(-time.Hour)
		require.NoError(t, tx.PutReport(r))
		for tag, want := range map[string]int{"SK-1": 0, "SK-2": 1} {
			list, err := tx.ReportsByTag(tag)
			require.NoError(t, err)
			assert.Len(t, list, want, tag)
		}
		got, err := tx.Report(r.Number)
		require.NoError(t, err)
		assert.Equal(t, noon, got.ChangedAt)
		return nil
	}))
	assert.Len(t, all(t, s, catch.Filter{To: noon.Add(-time.Minute)}), 1)
}

func TestUnknownNumberIsSaid(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		_, err := tx.Report(17)
		assert.ErrorIs(t, err, store.ErrNoReport)
		assert.ErrorIs(t, tx.PutReport(&catch.Report{Number: 17}), store.ErrNoReport)
		return nil
	}))
}

// A tag with a zero byte in it must not be taken for a shorter one.
func TestTagIsFoundWholeOrNotAtAll(t *testing.T) {
	s := opened(t)
	short, long := report(501, noon), report(501, noon)
	short.Tag, long.Tag = "A", "A\x00B"
	add(t, s, short, long)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		list, err := tx.ReportsByTag("A")
		require.NoError(t, err)
		require.Len(t, list, 1)
		assert.Equal(t, short.Number, list[0].Number)
		return nil
	}))
}

func TestReportsOfAPersonComeNewestFirst(t *testing.T) {
	s := opened(t)
	add(t, s, report(501, noon), report(502, noon), report(501, noon), report(501, noon))
	require.NoError(t, s.View(func(tx *store.Tx) error {
		list, err := tx.ReportsByPerson(501, 2)
		require.NoError(t, err)
		require.Len(t, list, 2)
		assert.Equal(t, []uint64{4, 3}, []uint64{list[0].Number, list[1].Number})
		assert.Equal(t, "Ada Fenwright", list[0].Personal.Name)
		return nil
	}))
}

func TestFailedUpdateLeavesNothing(t *testing.T) {
	s := opened(t)
	err := s.Update(func(tx *store.Tx) error {
		_, err := tx.AddReport(report(501, noon))
		require.NoError(t, err)
		require.NoError(t, tx.MarkSeen(7, noon, true))
		return assert.AnError
	})
	require.ErrorIs(t, err, assert.AnError)
	require.Empty(t, all(t, s, catch.Filter{}))
	require.NoError(t, s.View(func(tx *store.Tx) error { assert.False(t, tx.Seen(7, noon)); return nil }))
}

func TestPseudonymIsStableInASeasonAndDiffersBetweenSeasons(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		ada, bruno := tx.Who(501), tx.Who(502)
		assert.Equal(t, tx.Pseudonym(1, "Spring", ada), s.Pseudonym(1, "Spring", ada))
		assert.NotEqual(t, tx.Pseudonym(1, "Spring", ada), tx.Pseudonym(1, "Autumn", ada))
		assert.NotEqual(t, tx.Pseudonym(1, "Spring", ada), tx.Pseudonym(2, "Spring", ada), "two clubs cannot join their logs")
		assert.NotEqual(t, tx.Pseudonym(1, "Spring", ada), tx.Pseudonym(1, "Spring", bruno))
		assert.Empty(t, tx.Pseudonym(1, "Spring", 0), "the forgotten have none")
		return nil
	}))
}

func TestReportFallsIntoTheSeasonThatWasOpen(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, season := range []catch.Season{
			{Name: "Spring", Chat: 3, Opens: noon.AddDate(0, -1, 0), Closes: noon.AddDate(0, 1, 0)},
			{Name: "Old", Chat: 3, Opens: noon.AddDate(-1, 0, 0), Closes: noon.AddDate(0, -2, 0), Closed: true},
			{Name: "Theirs", Chat: 4, Opens: noon.AddDate(-2, 0, 0), Closes: noon.AddDate(1, 0, 0)},
		} {
			require.NoError(t, tx.PutSeason(season))
		}
		return nil
	}))
	now, closed := report(501, noon), report(501, noon.AddDate(0, -6, 0))
	add(t, s, now, closed)
	assert.Equal(t, "Spring", now.Season)
	assert.Empty(t, closed.Season)
	assert.Len(t, all(t, s, catch.Filter{Season: "Spring"}), 1)
}

func TestFiguresForTheOperator(t *testing.T) {
	s := opened(t)
	add(t, s, report(501, noon), report(502, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		_, err := tx.Queue(store.Outgoing{Chat: 501, Data: []byte("wait")})
		return err
	}))
	stats := s.Stats()
	assert.EqualValues(t, 2, stats.Reports)
	assert.Equal(t, 1, stats.Waiting)
	assert.Positive(t, stats.FileBytes)
	assert.Equal(t, 6, stats.Schema)
}

// Old logs reach back before 1970, where times are negative numbers.
func TestReportsFromBefore1970ComeFirst(t *testing.T) {
	s := opened(t)
	years := []int{1975, 1931, 2026, 1969, 1970}
	for _, year := range years {
		add(t, s, report(501, time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)))
	}
	var got []int
	for _, r := range all(t, s, catch.Filter{}) {
		got = append(got, r.CaughtAt.Year())
	}
	assert.Equal(t, []int{1931, 1969, 1970, 1975, 2026}, got)
	f := catch.Filter{From: time.Date(1940, 1, 1, 0, 0, 0, 0, time.UTC), To: time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)}
	assert.Len(t, all(t, s, f), 2)
}
