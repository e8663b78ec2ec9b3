package store_test

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

const group = -1001234567

// club is a store, with a key of its own, that holds n reports of the group.
func club(t *testing.T, n int) *store.Store {
	t.Helper()
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		chat, err := tx.ChatNumber(group)
		require.NoError(t, err)
		require.NoError(t, tx.PutSeason(catch.Season{Name: "Spring", Chat: chat, Opens: noon.AddDate(0, -1, 0), Closes: noon.AddDate(0, 2, 0)}))
		for i := range n {
			r := report(catch.PersonID(501+i%3), noon.Add(time.Duration(i)*time.Minute))
			r.Chat, r.SavedAt, r.Tag = chat, noon.Add(time.Duration(i)*time.Second), fmt.Sprintf("SK-%d", i)
			_, err := tx.AddReport(r)
			require.NoError(t, err)
		}
		return nil
	}))
	return s
}

// merge merges and says how many were added and known.
func merge(t *testing.T, into, from *store.Store, f catch.Filter) [2]int {
	t.Helper()
	added, same, err := into.Merge(t.Context(), from, f)
	require.NoError(t, err)
	return [2]int{added, same}
}

func TestMergingTwiceAddsNothing(t *testing.T) {
	a, b := club(t, 3), club(t, 1200)
	assert.Equal(t, [2]int{1200, 0}, merge(t, a, b, catch.Filter{}))
	assert.Equal(t, [2]int{0, 1200}, merge(t, a, b, catch.Filter{}))
	assert.Len(t, all(t, a, catch.Filter{Personal: true}), 1203)
	assert.Len(t, all(t, b, catch.Filter{}), 1200, "the other store is only read")
}

func TestMergedReportIsSealedUnderTheNewKeyAndBelongsHere(t *testing.T) {
	a, b := opened(t), club(t, 1)
	require.NoError(t, a.Update(func(tx *store.Tx) error { _, err := tx.ChatNumber(-5); return err })) // other numbers here
	merge(t, a, b, catch.Filter{})
	require.NoError(t, a.View(func(tx *store.Tx) error {
		list, err := tx.ReportsByPerson(501, 0)
		require.NoError(t, err)
		require.Len(t, list, 1)
		r := list[0]
		assert.Equal(t, "Ada Fenwright", r.Personal.Name)
		assert.Equal(t, tx.Who(501), r.Who)
		chat, err := tx.ChatNumber(group)
		require.NoError(t, err)
		assert.Equal(t, chat, r.Chat)
		assert.EqualValues(t, 2, chat)
		assert.True(t, r.SavedAt.Equal(noon))
		season, known, err := tx.Season(chat, "Spring")
		require.NoError(t, err)
		assert.True(t, known)
		assert.Equal(t, chat, season.Chat)
		assert.Equal(t, "Spring", r.Season)
		return nil
	}))
}

func TestMergeTakesOnlyWhatTheFilterTakes(t *testing.T) {
	a, b := opened(t), club(t, 10)
	assert.Equal(t, [2]int{4, 0}, merge(t, a, b, catch.Filter{From: noon.Add(6 * time.Minute)}))
	assert.Equal(t, [2]int{6, 4}, merge(t, a, b, catch.Filter{}))
}

// What went from a to b and from there to c is not doubled when it comes back.
func TestReportsThatCameRoundAreKnown(t *testing.T) {
	a, b, c := club(t, 5), club(t, 7), opened(t)
	assert.Equal(t, [2]int{5, 0}, merge(t, b, a, catch.Filter{}))
	assert.Equal(t, [2]int{12, 0}, merge(t, c, b, catch.Filter{}))
	assert.Equal(t, [2]int{0, 5}, merge(t, c, a, catch.Filter{}))
	assert.Equal(t, [2]int{7, 5}, merge(t, a, c, catch.Filter{}))
	assert.Equal(t, [2]int{0, 12}, merge(t, b, a, catch.Filter{}))
}

// A correction here is not undone by merging, and who was forgotten here stays
// forgotten.
func TestMergeLeavesWhatIsHereAsItIs(t *testing.T) {
	a, b := opened(t), club(t, 6)
	merge(t, a, b, catch.Filter{})
	require.NoError(t, a.Update(func(tx *store.Tx) error {
		r, err := tx.Report(1)
		require.NoError(t, err)
		r.Tag = "corrected"
		require.NoError(t, tx.PutReport(r))
		_, err = tx.ForgetPerson(502)
		return err
	}))
	assert.Equal(t, [2]int{0, 6}, merge(t, a, b, catch.Filter{}))
	require.NoError(t, a.View(func(tx *store.Tx) error {
		r, err := tx.Report(1)
		require.NoError(t, err)
		assert.Equal(t, "corrected", r.Tag)
		forgotten, err := tx.ReportsByPerson(502, 0)
		assert.Empty(t, forgotten)
		return err
	}))
}

// A store and its own backup that went on separately gave the same numbers to
// different fish.
func TestBackupThatWentItsOwnWayIsMergedByWhatDiffers(t *testing.T) {
	dir := t.TempDir()
	now := noon
	o := store.Options{KeyFile: filepath.Join(dir, "key"), Now: func() time.Time { return now }}
	a, err := store.Open(filepath.Join(dir, "a.db"), o)
	require.NoError(t, err)
	defer a.Close()
	add(t, a, season(4)...)
	require.NoError(t, a.Backup(t.Context(), filepath.Join(dir, "b.db")))
	b, err := store.Open(filepath.Join(dir, "b.db"), o)
	require.NoError(t, err)
	defer b.Close()
	now = now.Add(time.Hour)
	add(t, a, season(1)...)
	now = now.Add(time.Hour)
	add(t, b, season(2)...) // numbers 5 and 6; 5 is another fish than in a
	assert.Equal(t, [2]int{2, 4}, merge(t, a, b, catch.Filter{}))
	assert.Equal(t, [2]int{0, 6}, merge(t, a, b, catch.Filter{}))
	assert.Equal(t, [2]int{1, 6}, merge(t, b, a, catch.Filter{}))
	assert.Len(t, all(t, a, catch.Filter{}), 7)
	assert.Len(t, all(t, b, catch.Filter{}), 7)
	require.NoError(t, a.Check(t.Context()))
	require.NoError(t, b.Check(t.Context()))
}

// Both clubs typed in the same old paper log before they merged.
func TestRowsThatBothImportedAreTheSame(t *testing.T) {
	a, b := opened(t), opened(t)
	for _, s := range []*store.Store{a, b} {
		require.NoError(t, s.Update(func(tx *store.Tx) error {
			n, err := tx.AddReport(report(501, noon))
			require.NoError(t, err)
			return tx.MarkImported("paper log, row 17", n)
		}))
	}
	add(t, b, report(502, noon))
	require.NoError(t, b.Update(func(tx *store.Tx) error { return tx.MarkImported("paper log, row 18", 2) }))
	assert.Equal(t, [2]int{1, 1}, merge(t, a, b, catch.Filter{}))
	assert.Equal(t, [2]int{0, 2}, merge(t, a, b, catch.Filter{}))
	require.NoError(t, a.View(func(tx *store.Tx) error {
		assert.True(t, tx.Imported("paper log, row 18"), "the row that came along is known here too")
		return nil
	}))
}

func TestChatThatNobodyKnowsIsKeptApart(t *testing.T) {
	a, b := opened(t), opened(t)
	add(t, b, report(501, noon)) // chat 3, which has no number on the transport
	merge(t, a, b, catch.Filter{})
	list := all(t, a, catch.Filter{})
	require.Len(t, list, 1)
	require.NoError(t, a.View(func(tx *store.Tx) error {
		_, known := tx.TransportChat(list[0].Chat)
		assert.False(t, known)
		return nil
	}))
	assert.NotZero(t, list[0].Chat)
}

func TestStoreIsNotMergedIntoItself(t *testing.T) {
	a := club(t, 2)
	_, _, err := a.Merge(t.Context(), a, catch.Filter{})
	assert.Error(t, err)
}

// What was forgotten here does not come back from another store: the report counts,
// without its person, and leads to no chat of theirs.
func TestMergeBringsNobodyBackWhoWasForgotten(t *testing.T) {
	a, b := opened(t), club(t, 3)
	require.NoError(t, b.Update(func(tx *store.Tx) error {
		private, err := tx.ChatNumber(501)
		require.NoError(t, err)
		for i, saved := range []time.Time{noon, noon.AddDate(1, 0, 0)} { // the second was written after
			r := report(501, noon.Add(time.Duration(i+10)*time.Minute))
			r.Chat, r.SavedAt = private, saved
			_, err = tx.AddReport(r)
			require.NoError(t, err)
		}
		return nil
	}))
	require.NoError(t, a.Update(func(tx *store.Tx) error { _, err := tx.ForgetPerson(501); return err }))
	assert.Equal(t, [2]int{5, 0}, merge(t, a, b, catch.Filter{}))
	assert.Equal(t, [2]int{0, 5}, merge(t, a, b, catch.Filter{}))
	named := map[catch.PersonID]int{}
	require.NoError(t, a.View(func(tx *store.Tx) error {
		for _, r := range all(t, a, catch.Filter{Personal: true}) {
			named[r.Personal.Person]++
			if r.Personal.Person == 0 {
				assert.Zero(t, r.Who)
				assert.Empty(t, r.Personal)
				on, _ := tx.TransportChat(r.Chat)
				assert.NotEqual(t, catch.ChatID(501), on)
			}
		}
		return nil
	}))
	assert.Equal(t, map[catch.PersonID]int{0: 2, 501: 1, 502: 1, 503: 1}, named)
}
