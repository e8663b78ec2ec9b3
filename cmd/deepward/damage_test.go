package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

// spoiledStore holds three reports; a letter of the tag of the second was changed in
// the file.
func spoiledStore(t *testing.T) (db, key string) {
	t.Helper()
	dir := t.TempDir()
	db, key = filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for i, tag := range []string{"AAA1", "UNHARMED", "CCC3"} {
			at := time.Date(2026, 5, 2+i, 9, 0, 0, 0, time.UTC)
			if _, err := tx.AddReport(&catch.Report{Chat: 1, CaughtAt: at, Release: advisor.Release{Tag: tag}, Species: "Pagrus pagrus"}); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, s.Close())
	data, err := os.ReadFile(db)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(db, bytes.ReplaceAll(data, []byte("\x68UNHARMED"), []byte("\x68UNHARNED")), 0o600))
	return db, key
}

func TestDamagedReportStopsNoExport(t *testing.T) {
	db, key := spoiledStore(t)
	for _, format := range []string{"csv", "table", "geojson", "dwca", "all"} {
		out := filepath.Join(t.TempDir(), "out")
		code, _, said := command(t, "", "export", "--db", db, "--key-file", key, "--license", "cc0", "--format", format, "-o", out)
		assert.Equal(t, exitFailed, code)
		assert.Contains(t, said, "1 damaged reports are left out (2)")
		assert.Equal(t, 1, strings.Count(said, "\n"))
		assert.FileExists(t, out)
	}
	code, out, _ := command(t, "", "export", "--db", db, "--key-file", key)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, out, "AAA1")
	assert.Contains(t, out, "CCC3")
	assert.NotContains(t, out, "UNHAR")

	code, _, said := command(t, "", "backup", "--db", db, "--key-file", key, "--check")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "report 2")

	saved := filepath.Join(t.TempDir(), "saved.db")
	code, out, said = command(t, "", "backup", "--db", db, "--key-file", key, "--salvage", saved)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, out, "2 reports taken")
	assert.Contains(t, said, "1 reports could not be read and are lost (2)")
	code, _, said = command(t, "", "backup", "--db", saved, "--key-file", key, "--check")
	assert.Equal(t, exitDone, code, said)
}

// By what it holds, whatever it is called, a store, a key or a configuration is not
// written over.
func TestNothingIsWrittenOverAStoreAKeyOrAConfiguration(t *testing.T) {
	db, key := spoiledStore(t)
	dir := t.TempDir()
	settings := filepath.Join(dir, "notes.txt")
	require.NoError(t, os.WriteFile(settings, []byte("# ours\nbackup-dir: /srv/copies\n"), 0o600))
	other := filepath.Join(dir, "old.csv")
	data, err := os.ReadFile(db)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(other, data, 0o600))
	for _, precious := range []string{db, key, settings, other} {
		before, err := os.ReadFile(precious)
		require.NoError(t, err)
		for _, args := range [][]string{
			{"export", "-o", precious}, {"report", "-o", precious}, {"aside", "-o", precious},
			{"backup", "-o", precious}, {"backup", "--compact", precious}, {"backup", "--salvage", precious},
		} {
			code, _, said := command(t, "", append(args, "--db", db, "--key-file", key)...)
			assert.NotEqual(t, exitDone, code, "%v", args)
			assert.NotEmpty(t, said)
			after, err := os.ReadFile(precious)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(before, after), "%v", args)
		}
	}
	plain := filepath.Join(dir, "page.html")
	require.NoError(t, os.WriteFile(plain, []byte("<p>name: of a page</p>"), 0o600))
	require.NoError(t, mayReplace(plain))
}
