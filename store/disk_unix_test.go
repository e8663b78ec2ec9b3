//go:build unix

package store_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
)

// confined are the children that run under limits of the system.
func confined() map[string]func(dir string) {
	return map[string]func(string){"small disk": writeUntilFull, "stranger": openAsStranger}
}

const (
	// nobody is the user of that name, on most systems.
	nobody = 65534
	// ownedByRoot has the files that the stranger is told are root's.
	ownedByRoot = "DEEPWARD_TEST_OWNED_BY_ROOT"
)

// asNobody runs the command as the user nobody, where this process may do so: to
// the superuser no file is read-only.
func asNobody(cmd *exec.Cmd) {
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
}

// limitFileSize lets the command make no larger files: to it the disk is full then.
func limitFileSize(cmd *exec.Cmd, bytes int64) {
	cmd.Env = append(cmd.Env, "DEEPWARD_TEST_LIMIT="+strconv.FormatInt(bytes, 10))
}

// confine takes on the limits that the parent chose.
func confine() error {
	text := os.Getenv("DEEPWARD_TEST_LIMIT")
	if text == "" {
		return nil
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ) // a write beyond the limit fails instead
	return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n})
}

// openAsStranger tries to open the store as a user who may not write it.
func openAsStranger(dir string) {
	store.OwnedByRoot(filepath.SplitList(os.Getenv(ownedByRoot)))
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
	if err == nil {
		err = s.Close()
	}
	fmt.Println(errors.Is(err, store.ErrReadOnly), err)
}

// writeUntilFull adds reports under a limit on the size of files, as a full disk,
// and goes on once there is room.
func writeUntilFull(dir string) {
	s, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	if err != nil {
		fmt.Println("error", err)
		return
	}
	kept := uint64(0)
	for err == nil {
		r := report(501, noon)
		r.Personal.Words = strings.Repeat("gag ", 16000) // each commit waits for the disk: few of them
		if err = s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(r); return err }); err == nil {
			kept = r.Number
		}
	}
	fmt.Println(kept, errors.Is(err, store.ErrDiskFull), s.Check(context.Background()) == nil, len(numbers(s)))
	fmt.Println(err)
	_ = s.Close()
}

func TestFullDiskIsSaidAndLosesNothingThatWasKept(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, open(t, dir).Close())
	cmd := child("small disk", dir)
	limitFileSize(cmd, 24<<20)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	var kept, seen int
	var full, sound bool
	_, err = fmt.Sscan(string(out), &kept, &full, &sound, &seen)
	require.NoError(t, err, string(out))
	t.Log(string(out))
	assert.True(t, full, "the error is ErrDiskFull")
	assert.True(t, sound, "the store passes its check while the disk is full")
	assert.Equal(t, kept, seen)
	assert.Positive(t, kept)
	s := open(t, dir)
	require.NoError(t, s.Check(context.Background()))
	assert.Len(t, numbers(s), kept)
	add(t, s, report(501, noon))
	require.NoError(t, s.Close())
}

func TestStoreThatMayNotBeWrittenSaysSo(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	for _, mode := range []struct {
		path string
		mode fs.FileMode
	}{{"t.db", 0o444}, {"key", 0o444}, {"", 0o555}, {"..", 0o755}} {
		require.NoError(t, os.Chmod(filepath.Join(dir, mode.path), mode.mode))
	}
	defer os.Chmod(dir, 0o700) // to be taken away
	cmd := child("stranger", dir)
	asNobody(cmd)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.True(t, strings.HasPrefix(string(out), "true "), string(out))
	assert.Contains(t, string(out), "write permission")
}

// Somebody may put another file in the place of a store that is open. A copy is
// of the one that is open, never a mixture of both.
func TestCopyIsOfTheOpenFileThoughItsNameWentToAnother(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	add(t, s, season(300)...)
	other := filepath.Join(dir, "other.db")
	require.NoError(t, os.WriteFile(other, []byte(strings.Repeat("not a store at all ", 1000)), 0o600))
	require.NoError(t, os.Rename(other, filepath.Join(dir, "data", "t.db")))
	add(t, s, report(501, noon))
	for name, copyTo := range map[string]func(context.Context, string) error{"backup": s.Backup, "compact": s.Compact} {
		path := filepath.Join(dir, name)
		require.NoError(t, copyTo(t.Context(), path), name)
		assert.Equal(t, 301, count(t, path, keyOf(dir)), name)
	}
}
