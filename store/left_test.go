//go:build unix

package store

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/store/unfinished"
)

// What a killed process left is cleared away at the next start; what another one is
// writing, and what is not ours, stays.
func TestWhatAKilledProcessLeftIsClearedAway(t *testing.T) {
	dir, copies := t.TempDir(), t.TempDir()
	path, o := filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(t.TempDir(), "key")}
	s, err := Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	left := func(name string) string {
		require.NoError(t, os.WriteFile(name, []byte("half"), 0o600))
		return name
	}
	gone := []string{
		left(filepath.Join(dir, ".deepward-copy-1")), left(filepath.Join(dir, ".deepward-new-2")),
		left(filepath.Join(filepath.Dir(o.KeyFile), ".deepward-key-3")), left(filepath.Join(copies, ".deepward-copy-4")),
	}
	foreign := left(filepath.Join(dir, ".notes"))
	written, err := unfinished.Beside(path, unfinished.Copy)
	require.NoError(t, err)

	s, err = Open(path, o)
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.rotateOnce(t.Context(), copies, 7))
	for _, name := range gone {
		assert.NoFileExists(t, name)
	}
	assert.FileExists(t, foreign)
	assert.FileExists(t, written.Name())
	require.NoError(t, written.Close())
	s.dropUnfinished(dir)
	assert.NoFileExists(t, written.Name(), "nobody holds it any more")
}

// A copy in the making is never taken for one that was left.
func TestACopyInTheMakingIsHeld(t *testing.T) {
	s := opened(t, 3)
	to := filepath.Join(t.TempDir(), "copy.db")
	require.NoError(t, s.copyTo(t.Context(), to, func(temp *os.File) error {
		s.dropUnfinished(filepath.Dir(to))
		assert.FileExists(t, temp.Name())
		return s.db.View(func(tx *bolt.Tx) error { _, err := tx.WriteTo(temp); return err })
	}))
}
