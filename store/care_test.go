package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

func TestBackupOfAStoreInUseOpensAndHoldsEverything(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon), report(502, noon))
	path := filepath.Join(dir, "copy.db")
	require.NoError(t, s.Backup(context.Background(), path))
	add(t, s, report(503, noon))
	require.NoError(t, s.Close())
	copied, err := store.Open(path, store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	require.NoError(t, err)
	assert.Len(t, all(t, copied, catch.Filter{Personal: true}), 2)
	require.NoError(t, copied.Close())
}

func keyOf(dir string) store.Options {
	return store.Options{KeyFile: filepath.Join(dir, "config", "key")}
}

// count opens a store, checks it and counts its reports.
func count(t *testing.T, path string, o store.Options) int {
	t.Helper()
	s, err := store.Open(path, o)
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Check(t.Context()))
	return len(all(t, s, catch.Filter{Personal: true}))
}

func TestCopyNeverTakesThePlaceOfTheStoreItself(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, season(3)...)
	own := filepath.Join(dir, "data", "t.db")
	link := filepath.Join(dir, "link.db")
	require.NoError(t, os.Symlink(own, link))
	for _, path := range []string{own, link} {
		assert.ErrorIs(t, s.Backup(t.Context(), path), store.ErrSameFile)
		assert.ErrorIs(t, s.Compact(t.Context(), path), store.ErrSameFile)
		assert.ErrorIs(t, restore(t.Context(), path, own, keyOf(dir)), store.ErrSameFile)
		assert.ErrorIs(t, store.BackupInUse(t.Context(), own, path, keyOf(dir)), store.ErrSameFile)
	}
	require.NoError(t, s.Close())
	assert.Equal(t, 3, count(t, own, keyOf(dir)))
}

func TestCopyThatFailsLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	add(t, s, season(3)...)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	to := t.TempDir()
	require.ErrorIs(t, s.Backup(ctx, filepath.Join(to, "copy.db")), context.Canceled)
	require.ErrorIs(t, s.Compact(ctx, filepath.Join(to, "copy.db")), context.Canceled)
	left, err := os.ReadDir(to)
	require.NoError(t, err)
	assert.Empty(t, left)
	assert.Error(t, s.Backup(t.Context(), filepath.Join(to, "no", "such", "folder", "copy.db")))
}

func TestCompactGivesBackWhatDeletionsLeft(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, season(500)...)
	state := func(do func(tx *store.Tx, key string) error) {
		require.NoError(t, s.Update(func(tx *store.Tx) error {
			var err error
			for i := range 2000 {
				err = errors.Join(err, do(tx, fmt.Sprint(i)))
			}
			return err
		}))
	}
	state(func(tx *store.Tx, key string) error { return tx.Put("sent", key, "a reply that was sent long ago") })
	state(func(tx *store.Tx, key string) error { return tx.Delete("sent", key) })
	path := filepath.Join(dir, "small.db")
	require.NoError(t, s.Compact(t.Context(), path))
	before := s.Stats()
	assert.Positive(t, before.FreeBytes)
	require.NoError(t, s.Close())
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Less(t, info.Size(), before.FileBytes)
	assert.Equal(t, 500, count(t, path, keyOf(dir)))
	s, err = store.Open(path, keyOf(dir))
	require.NoError(t, err)
	r := report(501, noon)
	add(t, s, r)
	assert.EqualValues(t, 501, r.Number, "numbers go on")
	require.NoError(t, s.Close())
}

// restore restores, whoever was forgotten.
func restore(ctx context.Context, backup, path string, o store.Options) error {
	_, err := store.Restore(ctx, backup, path, o)
	return err
}

func TestRestoreKeepsWhatWasThere(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, season(2)...)
	backup, path := filepath.Join(dir, "copy.db"), filepath.Join(dir, "data", "t.db")
	require.NoError(t, s.Backup(t.Context(), backup))
	add(t, s, season(5)...)
	require.ErrorIs(t, restore(t.Context(), backup, path, keyOf(dir)), store.ErrInUse)
	require.NoError(t, s.Close())
	require.NoError(t, restore(t.Context(), backup, path, keyOf(dir)))
	require.NoError(t, os.WriteFile(path, []byte("damaged by somebody, and of no use any more"), 0o600))
	require.NoError(t, restore(t.Context(), backup, path, keyOf(dir)), "this is what a backup is for")
	assert.Equal(t, 2, count(t, path, keyOf(dir)))
	assert.Equal(t, 7, count(t, path+".before", keyOf(dir)), "the first one is not lost to the second")
	assert.FileExists(t, path+".before2")
}

func TestUnsoundBackupIsNotRestored(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, season(2)...)
	require.NoError(t, s.Close())
	path, backup := filepath.Join(dir, "data", "t.db"), filepath.Join(dir, "copy.db")
	require.NoError(t, os.WriteFile(backup, []byte("no backup at all, only words that fill some room"), 0o600))
	require.ErrorIs(t, restore(t.Context(), backup, path, keyOf(dir)), store.ErrNotAStore)
	require.ErrorIs(t, restore(t.Context(), filepath.Join(dir, "none.db"), path, keyOf(dir)), store.ErrNoStore)
	other := t.TempDir()
	require.NoError(t, open(t, other).Close())
	require.ErrorIs(t, restore(t.Context(), filepath.Join(other, "data", "t.db"), path, keyOf(dir)), store.ErrKeyWrong)
	assert.Equal(t, 2, count(t, path, keyOf(dir)))
	left, err := filepath.Glob(filepath.Join(dir, "data", "*"))
	require.NoError(t, err)
	assert.Equal(t, []string{path}, left)
}

func TestNewestCopiesAreKept(t *testing.T) {
	dir, to := t.TempDir(), t.TempDir()
	now := noon
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key"), Now: func() time.Time { return now }})
	require.NoError(t, err)
	defer s.Close()
	foreign := filepath.Join(to, "holiday.db")
	require.NoError(t, os.WriteFile(foreign, []byte("x"), 0o600))
	for range 5 {
		now = now.Add(24 * time.Hour)
		require.NoError(t, s.Rotate(t.Context(), to, 3))
	}
	list, err := filepath.Glob(filepath.Join(to, "deepward-*.db"))
	require.NoError(t, err)
	require.Len(t, list, 4, "three days, and one of the week before")
	assert.Equal(t, "deepward-20260503T120000Z.db", filepath.Base(list[0]))
	assert.Equal(t, "deepward-20260507T120000Z.db", filepath.Base(list[3]))
	now = now.AddDate(0, -2, 0) // a clock that is behind
	require.NoError(t, s.Rotate(t.Context(), to, 3))
	assert.FileExists(t, filepath.Join(to, "deepward-20260307T120000Z.db"), "the new one is never dropped")
	assert.FileExists(t, foreign)
}

func TestScheduleCopiesAtOnceAndThenEveryDay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // time runs by itself here
		dir, to := t.TempDir(), t.TempDir()
		s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
		require.NoError(t, err)
		defer s.Close()
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan struct{})
		go func() { s.BackupEvery(ctx, to, 24*time.Hour, 7); close(ended) }()
		time.Sleep(49 * time.Hour)
		stop()
		<-ended
		again, cancel := context.WithCancel(t.Context()) // a restart on the same day
		cancel()
		s.BackupEvery(again, to, 24*time.Hour, 7)
		list, err := filepath.Glob(filepath.Join(to, "deepward-*.db"))
		require.NoError(t, err)
		assert.Len(t, list, 3)
	})
}

// The store stands open for writing, as under deepward serve.
func TestStoreInUseCanBeCopied(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	add(t, s, season(1000)...)
	path := filepath.Join(dir, "copy.db")
	require.NoError(t, store.BackupInUse(t.Context(), filepath.Join(dir, "data", "t.db"), path, keyOf(dir)))
	assert.Equal(t, 1000, count(t, path, keyOf(dir)))
	require.ErrorIs(t, store.BackupInUse(t.Context(), filepath.Join(dir, "none.db"), path, keyOf(dir)), store.ErrNoStore)
}

// Copied in the midst of writing, a copy is sound and holds all that was
// confirmed before it began, or it is refused.
func TestStoreInUseIsCopiedWholeOrNotAtAll(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	add(t, s, season(300)...)
	stop := make(chan struct{})
	var writer sync.WaitGroup
	writer.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
				_ = s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(report(501, noon)); return err })
				time.Sleep(time.Millisecond) // a busy club
			}
		}
	})
	copied := 0
	for i := range 25 {
		before := s.Stats().Reports
		path := filepath.Join(dir, fmt.Sprintf("copy%d.db", i))
		err := store.BackupInUse(t.Context(), filepath.Join(dir, "data", "t.db"), path, keyOf(dir))
		if err != nil {
			require.ErrorIs(t, err, store.ErrInUse)
			continue
		}
		copied++
		require.GreaterOrEqual(t, count(t, path, keyOf(dir)), int(before))
	}
	close(stop)
	writer.Wait()
	t.Logf("%d of 25 copies", copied)
}

// bbolt's own check reads wrongly beside a writer: the store's keeps writers out
// for that while, and finds nothing wrong.
func TestCheckBesideAWriter(t *testing.T) {
	s := opened(t)
	add(t, s, season(100)...)
	var writer sync.WaitGroup
	writer.Go(func() {
		for range 60 {
			assert.NoError(t, s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(report(501, noon)); return err }))
		}
	})
	for range 8 {
		assert.NoError(t, s.Check(t.Context()))
	}
	writer.Wait()
}
