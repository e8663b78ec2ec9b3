package store_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// rekeyed is a store with something of everything whose key was changed, and the key of
// before.
func rekeyed(t *testing.T) (path string, o store.Options, before string) {
	t.Helper()
	path, kept := oldStore(t, "schema2")
	o = store.Options{KeyFile: filepath.Join(t.TempDir(), "key"), Now: func() time.Time { return noon }}
	key, err := os.ReadFile(kept)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(o.KeyFile, key, 0o600))
	before, err = store.NewKey(t.Context(), path, o)
	require.NoError(t, err)
	return path, o, before
}

func TestANewKeyOpensAllAndTheOldOneNothing(t *testing.T) {
	path, o, before := rekeyed(t)
	assert.Equal(t, o.KeyFile+".before", before)
	_, err := store.Open(path, store.Options{KeyFile: before})
	require.ErrorIs(t, err, store.ErrKeyWrong)
	for range 2 { // people are the same ones after a second change too
		s, err := store.Open(path, o)
		require.NoError(t, err)
		require.NoError(t, s.Check(t.Context()))
		require.Len(t, all(t, s, catch.Filter{Personal: true, Undone: true}), 42)
		require.NoError(t, s.View(func(tx *store.Tx) error {
			r, err := tx.Report(41)
			require.NoError(t, err)
			assertSchema1Report(t, r)
			assertSchema1State(t, tx)
			return nil
		}))
		require.NoError(t, s.Close())
		second, err := store.NewKey(t.Context(), path, o)
		require.NoError(t, err)
		assert.FileExists(t, second)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	require.NoError(t, err)
	assert.Equal(t, []string{path}, left)

	salvaged := filepath.Join(t.TempDir(), "salvaged.db")
	saved, err := store.Salvage(t.Context(), path, salvaged, o)
	require.NoError(t, err)
	assert.Equal(t, 42, saved.Reports)
	s, err := store.Open(salvaged, o)
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.View(func(tx *store.Tx) error { assertSchema1State(t, tx); return nil }))
}

// A change of the key that was cut off is finished by the next opening, or was not begun.
func TestAChangeOfTheKeyThatWasCutOff(t *testing.T) {
	path, o, before := rekeyed(t)
	fresh, err := os.ReadFile(o.KeyFile)
	require.NoError(t, err)
	next := nextKey(t, path, o)
	require.NoError(t, os.Rename(o.KeyFile, next))
	require.NoError(t, os.Rename(before, o.KeyFile))
	read := o
	read.ReadOnly = true
	for _, o := range []store.Options{read, o, o} {
		s, err := store.Open(path, o)
		require.NoError(t, err)
		require.NoError(t, s.Check(t.Context()))
		require.NoError(t, s.Close())
	}
	key, err := os.ReadFile(o.KeyFile)
	require.NoError(t, err)
	assert.Equal(t, fresh, key)
	assert.FileExists(t, before)
	assert.NoFileExists(t, next)

	require.NoError(t, os.WriteFile(next, bytes.Repeat([]byte{9}, len(key)), 0o600))
	s, err := store.Open(path, o)
	require.NoError(t, err, "a new key that seals nothing yet")
	require.NoError(t, s.Close())
	_, err = store.NewKey(t.Context(), path, o)
	require.NoError(t, err)
}

func TestNoNewKeyForWhatIsNotSoundOrNotThere(t *testing.T) {
	t.Parallel()
	path, o, _ := rekeyed(t)
	_, err := store.NewKey(t.Context(), filepath.Join(t.TempDir(), "none.db"), o)
	require.ErrorIs(t, err, store.ErrNoStore)
	s, err := store.Open(path, o)
	require.NoError(t, err)
	_, err = store.NewKey(t.Context(), path, o)
	require.ErrorIs(t, err, store.ErrInUse)
	require.NoError(t, s.Close())

	data, err := os.ReadFile(path)
	require.NoError(t, err)
	key, err := os.ReadFile(o.KeyFile)
	require.NoError(t, err)
	at := bytes.LastIndex(data, []byte("Epinephelus"))
	require.Positive(t, at)
	data[at] ^= 1
	require.NoError(t, os.WriteFile(path, data, 0o600))
	_, err = store.NewKey(t.Context(), path, o)
	require.ErrorContains(t, err, "nothing was changed")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, after))
	same, err := os.ReadFile(o.KeyFile)
	require.NoError(t, err)
	assert.Equal(t, key, same)
	left, err := filepath.Glob(o.KeyFile + ".new*")
	require.NoError(t, err)
	assert.Empty(t, left)
}

// nextKey is the name of the key that is to follow.
func nextKey(t *testing.T, path string, o store.Options) string {
	t.Helper()
	s, err := store.Open(path, o)
	require.NoError(t, err)
	defer s.Close()
	var id string
	require.NoError(t, s.View(func(tx *store.Tx) error { id = strings.TrimPrefix(tx.Dataset(), "deepward-"); return nil }))
	return o.KeyFile + ".new-" + id
}
