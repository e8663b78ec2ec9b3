//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
)

// The disk runs full while the program serves: it says so, confirms nothing that
// it could not keep, and goes on once there is room.
func TestFullDiskConfirmsNothingThatIsNotKept(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "d", "t.db"), filepath.Join(dir, "k", "key")
	const before, sent = 225, 400
	fill(t, db, key, before)
	filler := strings.Repeat("z", 3200) // one word: long to keep, quick to read
	for n := 1; n <= sent; n++ {
		api.Push(standin.Private(int64(people+n%20), n, fmt.Sprintf("log gag 40 m %d cm sent down 40 oz\n%s", 30+n%50, filler)))
	}
	child := serveChild(t, api, db, key, "DEEPWARD_TEST_LIMIT=16900000")
	full := func() bool { return strings.Contains(printed(child), "the disk is full; make room") }
	require.Eventually(t, full, time.Minute, 20*time.Millisecond)
	require.NoError(t, child.Process.Signal(os.Interrupt))
	require.NoError(t, child.Wait(), "a stop is clean on a full disk too")
	confirmed := confirmations(api)
	assert.NotEmpty(t, confirmed, "the first batch had room")
	assert.NotZero(t, api.Waiting(), "what was not kept still waits at the server")
	chats, kept := stored(t, db, key)
	assert.Less(t, len(chats), before+sent)
	for r := range confirmed {
		assert.Truef(t, kept[r], "confirmed %v is in the store", r)
	}

	child = serveChild(t, api, db, key)
	assert.Eventually(t, func() bool { return len(confirmations(api)) == sent }, time.Minute, 50*time.Millisecond)
	require.NoError(t, child.Process.Signal(os.Interrupt))
	require.NoError(t, child.Wait())
	chats, _ = stored(t, db, key)
	assert.Equal(t, before+sent, len(chats))
	t.Logf("%d confirmed when the disk was full", len(confirmed))
}

// fill makes a store with so many reports of 64 KiB, which is nearly as much as
// goes in before the file grows.
func fill(t *testing.T, db, key string, n int) {
	t.Helper()
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for i := range n {
			r := &catch.Report{Chat: 1, Message: 1_000_000 + i, CaughtAt: time.Unix(1e9, 0)}
			r.Personal.Words = strings.Repeat("x", 64<<10)
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, s.Close())
}

// A file that is no store, or no longer a whole one, is left as it is, with one
// line that says what to do.
func TestDamagedFilesAreToldAndLeftAlone(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	code, _, errs := command(t, "", "demo", "--dir", dir, "--reports", "300")
	require.Equal(t, exitDone, code, errs)
	good, err := os.ReadFile(filepath.Join(dir, "demo.db"))
	require.NoError(t, err)
	goodKey, err := os.ReadFile(filepath.Join(dir, "demo.key"))
	require.NoError(t, err)
	for name, c := range map[string]struct {
		data, key []byte
		want      string
	}{
		"foreign":   {[]byte(strings.Repeat("Dear Ada, ", 5000)), goodKey, "restore a backup"},
		"truncated": {good[:100_000], goodKey, "restore a backup"},
		"empty":     {nil, goodKey, "restore a backup"},
		"zeros":     {make([]byte, len(good)), goodKey, "restore a backup"},
		"key gone":  {good, nil, "put it back"},
		"other key": {good, bytes.Repeat([]byte{7}, len(goodKey)), "name the right one"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(db, c.data, 0o600))
			require.NoError(t, os.RemoveAll(key))
			if c.key != nil {
				require.NoError(t, os.WriteFile(key, c.key, 0o600))
			}
			child := serveChild(t, api, db, key)
			err := child.Wait()
			assert.Equal(t, exitFailed, child.ProcessState.ExitCode(), "%v", err)
			assert.Equal(t, 1, strings.Count(printed(child), "\n"), printed(child))
			assert.Contains(t, printed(child), c.want)
			after, err := os.ReadFile(db)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(c.data, after), "nothing is changed")
			if c.key == nil {
				assert.NoFileExists(t, key, "no key is made for a store that has one")
			}
		})
	}
}
