package store_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// The numbers in the log of a club begin with 1 and tell nothing of other logs.
func TestReportsAreNumberedAnewInEachLog(t *testing.T) {
	dir := t.TempDir()
	path, o := filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")}
	s, err := store.Open(path, o)
	require.NoError(t, err)
	var kept []*catch.Report
	add := func(chat catch.ClubID) *catch.Report {
		r := &catch.Report{Chat: chat, CaughtAt: noon}
		require.NoError(t, s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(r); return err }))
		kept = append(kept, r)
		return r
	}
	put := func(r *catch.Report) {
		require.NoError(t, s.Update(func(tx *store.Tx) error { return tx.PutReport(r) }))
	}
	for _, chat := range []catch.ClubID{1, 2, 1, 3, 3} {
		add(chat)
	}
	mine := kept[4] // the second in a private chat
	mine.Club = 1
	put(mine)
	assert.Equal(t, uint64(3), mine.Told(), "shared: behind the two of the club")
	assert.Equal(t, uint64(2), mine.LogNo, "its own log goes on")
	mine.Undone = true
	put(mine)
	assert.Equal(t, uint64(3), mine.Told(), "a number stays")
	assert.Equal(t, uint64(4), add(1).Told(), "and is not given twice")
	mine.Club = 2
	put(mine)
	assert.Equal(t, uint64(2), mine.Told(), "shared with another club")
	assert.Equal(t, []uint64{1, 1, 2, 1}, []uint64{kept[0].Told(), kept[1].Told(), kept[2].Told(), kept[3].Told()})
	assert.Len(t, s.Identifier(7), 16)
	assert.NotEqual(t, s.Identifier(7), s.Identifier(8))
	require.NoError(t, s.Close())

	salvaged := filepath.Join(dir, "salvaged.db")
	_, err = store.Salvage(t.Context(), path, salvaged, o)
	require.NoError(t, err)
	s, err = store.Open(salvaged, o)
	require.NoError(t, err)
	defer s.Close()
	assert.Equal(t, uint64(5), add(1).Told())
}

// Reports of an earlier schema are numbered in the order in which they came.
func TestReportsOfBeforeAreNumberedInTheirLogs(t *testing.T) {
	path, key := oldStore(t, "schema2")
	s, err := store.Open(path, store.Options{KeyFile: key})
	require.NoError(t, err)
	defer s.Close()
	last := map[catch.ClubID]uint64{}
	byNumber := map[uint64]*catch.Report{}
	for _, r := range all(t, s, catch.Filter{Undone: true}) {
		byNumber[r.Number] = &r
	}
	for n := uint64(1); n <= uint64(len(byNumber)); n++ {
		r := byNumber[n]
		last[r.Chat]++
		assert.Equal(t, last[r.Chat], r.Told(), "report %d", n)
	}
	r := &catch.Report{Chat: byNumber[1].Chat, CaughtAt: noon}
	require.NoError(t, s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(r); return err }))
	assert.Equal(t, last[r.Chat]+1, r.Told())
}
