package store_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
)

// ownership gives the files of a test to root, who alone may use them then, and to a
// stranger. Only root can give files away: for any other user, who is the stranger then, the
// child is told which files are root's.
type ownership struct {
	t    *testing.T
	root []string
}

func (o *ownership) toRoot(path string, mode os.FileMode) {
	o.root = append(o.root, path)
	o.give(path, 0, mode)
}

func (o *ownership) toStranger(path string) {
	o.root = slices.DeleteFunc(o.root, func(p string) bool { return p == path })
	o.give(path, nobody, 0o600)
}

func (o *ownership) give(path string, owner int, mode os.FileMode) {
	require.NoError(o.t, os.Chmod(path, mode))
	if os.Geteuid() == 0 {
		require.NoError(o.t, os.Chown(path, owner, owner))
	}
}

// open is what the stranger is told who opens the store in dir.
func (o *ownership) open(dir string) string {
	cmd := child("stranger", dir)
	asNobody(cmd)
	if os.Geteuid() != 0 {
		cmd.Env = append(cmd.Env, ownedByRoot+"="+strings.Join(o.root, string(os.PathListSeparator)))
	}
	out, err := cmd.CombinedOutput()
	require.NoError(o.t, err, string(out))
	return strings.TrimSuffix(string(out), "\n")
}

// What belongs to root, as after a restore by hand, is told with its owner and, for a file,
// with the command that mends it; what root restores goes to whom the store belonged.
func TestAFileOfRootIsToldWithTheCommandThatMendsIt(t *testing.T) {
	const opened = "false <nil>"
	owned := &ownership{t: t}
	dir := t.TempDir()
	require.NoError(t, os.Chmod(dir, 0o777))
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
	path, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	o := store.Options{KeyFile: key}
	s, err := store.Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.Backup(t.Context(), filepath.Join(dir, "copy.db")))
	require.NoError(t, s.Close())

	owned.toRoot(path, 0o400)
	owned.toRoot(key, 0)
	assert.Contains(t, owned.open(dir), "the key may not be read by this user: it belongs to root; give it back with: sudo chown ")
	owned.toStranger(key)
	said := owned.open(dir)
	assert.Contains(t, said, "the store may not be written")
	assert.Contains(t, said, "it belongs to root; give it back with: sudo chown ")
	assert.True(t, strings.HasPrefix(said, "true "), said)
	assert.True(t, strings.HasSuffix(said, " "+path), said)
	owned.toStranger(path)
	assert.Equal(t, opened, owned.open(dir))

	_, err = store.Restore(t.Context(), filepath.Join(dir, "copy.db"), path, o)
	require.NoError(t, err)
	assert.Equal(t, opened, owned.open(dir), "restored by root")
	_, err = store.NewKey(t.Context(), path, o)
	require.NoError(t, err)
	assert.Equal(t, opened, owned.open(dir), "sealed anew by root")

	owned.toRoot(dir, 0)
	defer os.Chmod(dir, 0o700) // to be taken away
	assert.Contains(t, owned.open(dir), "the folder "+dir+" belongs to root")
}
