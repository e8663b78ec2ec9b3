package store_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

func TestSecondProcessIsTurnedAwayWithinASecond(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	started := time.Now()
	_, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	assert.ErrorIs(t, err, store.ErrInUse)
	assert.Less(t, time.Since(started), time.Second)
}

func TestKeyLostOrWrongIsSaidAndNothingIsHurt(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon))
	require.NoError(t, s.Close())
	db, key := filepath.Join(dir, "data", "t.db"), filepath.Join(dir, "config", "key")
	kept, err := os.ReadFile(key)
	require.NoError(t, err)
	require.NoError(t, os.Remove(key))
	_, err = store.Open(db, store.Options{KeyFile: key})
	require.ErrorIs(t, err, store.ErrKeyLost)
	assert.NoFileExists(t, key, "no new key is made silently")
	require.NoError(t, os.WriteFile(key, make([]byte, 32), 0o600))
	_, err = store.Open(db, store.Options{KeyFile: key})
	require.ErrorIs(t, err, store.ErrKeyWrong)
	require.NoError(t, os.WriteFile(key, kept, 0o600))
	s = open(t, dir)
	assert.Len(t, all(t, s, catch.Filter{Personal: true}), 1)
	require.NoError(t, s.Close())
}

func TestForeignTruncatedAndEmptyFilesAreRefused(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon))
	require.NoError(t, s.Close())
	whole, err := os.ReadFile(filepath.Join(dir, "data", "t.db"))
	require.NoError(t, err)
	for name, content := range map[string][]byte{
		"empty": {}, "text": []byte("not a store at all, just words\n"), "zeroes": make([]byte, 1<<16), "cut": whole[:5000],
	} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, content, 0o600))
		_, err := store.Open(path, store.Options{KeyFile: filepath.Join(dir, "config", "key")})
		assert.ErrorIs(t, err, store.ErrNotAStore, name)
		after, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, content, after, name)
	}
}

func TestNothingIsMadeForReadingOnly(t *testing.T) {
	dir := t.TempDir()
	_, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key"), ReadOnly: true})
	require.ErrorIs(t, err, store.ErrNoStore)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

func TestFreshStoreAndKeyAreForTheirOwnerOnly(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, open(t, dir).Close())
	for path, want := range map[string]fs.FileMode{"data": 0o700, "data/t.db": 0o600, "config": 0o700, "config/key": 0o600} {
		info, err := os.Stat(filepath.Join(dir, path))
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
	left, err := filepath.Glob(filepath.Join(dir, "*", ".*"))
	require.NoError(t, err)
	assert.Empty(t, left, "nothing half made stays")
}

// Programs that start together on a fresh machine must end up with one store and
// the one key that opens it.
func TestFirstStartsTogetherMakeOneStoreAndOneKey(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var wg sync.WaitGroup
	results := make([]error, 6)
	for i := range results {
		wg.Go(func() {
			s, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
			if err == nil {
				err = s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(report(501, noon)); return err })
				err = errors.Join(err, s.Close())
			}
			results[i] = err
		})
	}
	wg.Wait()
	kept := 0
	for _, err := range results {
		if err == nil {
			kept++
			continue
		}
		assert.ErrorIs(t, err, store.ErrInUse)
	}
	s := open(t, dir)
	assert.Len(t, all(t, s, catch.Filter{Personal: true}), kept)
	assert.Positive(t, kept)
	require.NoError(t, s.Close())
}

// filled is a file with some of everything in it, and its key.
func filled(t *testing.T) (whole []byte, key string) {
	t.Helper()
	dir := t.TempDir()
	s := open(t, dir)
	fill(t, s)
	path := filepath.Join(dir, "whole.db")
	require.NoError(t, s.Backup(context.Background(), path))
	require.NoError(t, s.Close())
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	return whole, filepath.Join(dir, "config", "key")
}

// fill puts some of everything into a store.
func fill(t *testing.T, s *store.Store) {
	t.Helper()
	list := season(60)
	for i, r := range list {
		r.Tag = fmt.Sprintf("SK-%d", i%9)
	}
	add(t, s, list...)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		list[3].DepthM = new(44.0)
		_, err := tx.Queue(store.Outgoing{Chat: -1001234567, Data: []byte("reply to Ada Fenwright")})
		return errors.Join(err,
			tx.PutReport(list[3]),
			tx.Put("person", tx.PersonKey(501), map[string]string{"name": "Ada Fenwright"}),
			tx.PutSeason(catch.Season{Name: "Skerrow 2026", Chat: 3, Opens: noon, Closes: noon.AddDate(0, 6, 0)}),
			tx.MarkImported("row of Ada Fenwright", list[5].Number),
			tx.MarkSeen(900000, noon, true))
	}))
}

// A page beyond the end of a file that is mapped ends the program when it is
// touched, so this must be found out before.
func TestFileCutAnywhereIsRefused(t *testing.T) {
	whole, key := filled(t)
	path := filepath.Join(t.TempDir(), "cut.db")
	for size := 1; size < len(whole); size += 1500 {
		require.NoError(t, os.WriteFile(path, whole[:size], 0o600))
		_, err := store.Open(path, store.Options{KeyFile: key})
		require.ErrorIs(t, err, store.ErrNotAStore, "%d of %d bytes", size, len(whole))
	}
}

// numbers are the numbers of all reports whose every part can be read.
func numbers(s *store.Store) (list []uint64) {
	_ = s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true}) {
			if err != nil {
				return err
			}
			list = append(list, r.Number)
		}
		return nil
	})
	return list
}

// Damage inside may be found at opening or by Check, and must not end the program.
func TestDamagedPagesAreFoundNotFatal(t *testing.T) {
	t.Parallel()
	whole, key := filled(t)
	path := filepath.Join(t.TempDir(), "damaged.db")
	rng := rand.New(rand.NewPCG(1, 2))
	found := 0
	for range 60 {
		damaged := bytes.Clone(whole)
		page := 4096 * (2 + rng.IntN(len(whole)/4096-2)) // not the two pages that bbolt keeps twice
		for i := range 4096 {
			damaged[page+i] = byte(rng.Uint32())
		}
		require.NoError(t, os.WriteFile(path, damaged, 0o600))
		s, err := store.Open(path, store.Options{KeyFile: key})
		if err == nil {
			err = s.Check(context.Background())
			if err == nil {
				assert.Len(t, numbers(s), 60, "what passed the check can be read")
			}
			err = errors.Join(err, s.Close())
		}
		assert.NotErrorIs(t, err, store.ErrInUse, "a failed opening lets go of the file")
		if err != nil {
			found++
		}
	}
	t.Logf("%d of 60 damaged files found out; in the others the page was not in use", found)
	assert.Greater(t, found, 30)
}
