package store

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const nobody = 65534

// TestAsNobody is what TestAFileOfRootIsToldWithTheCommandThatMendsIt runs as another user.
func TestAsNobody(t *testing.T) {
	path := os.Getenv("DEEPWARD_TEST_OPEN")
	if path == "" {
		t.Skip("run by another test")
	}
	s, err := Open(path, Options{KeyFile: os.Getenv("DEEPWARD_TEST_KEY")})
	if err == nil {
		err = errors.Join(errors.New("opened"), s.Close())
	}
	os.Stdout.WriteString("said: " + err.Error() + "\n")
}

// What belongs to root, as after a restore by hand, is told with its owner and, for a file,
// with the command that mends it; what root restores goes to whom the store belonged.
func TestAFileOfRootIsToldWithTheCommandThatMendsIt(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can give files away")
	}
	dir := t.TempDir()
	require.NoError(t, os.Chmod(dir, 0o777))
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
	path, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	o := Options{KeyFile: key}
	s, err := Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.Backup(t.Context(), filepath.Join(dir, "copy.db")))
	require.NoError(t, s.Close())
	program, err := os.ReadFile(os.Args[0]) // where it lies, nobody else may go
	require.NoError(t, err)
	twin := filepath.Join(t.TempDir(), "twin")
	require.NoError(t, os.Chmod(filepath.Dir(twin), 0o755))
	require.NoError(t, os.WriteFile(twin, program, 0o755))
	open := func() string {
		c := exec.Command(twin, "-test.run", "^TestAsNobody$")
		c.Env = append(os.Environ(), "DEEPWARD_TEST_OPEN="+path, "DEEPWARD_TEST_KEY="+key)
		c.Dir = "/"
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
		out, err := c.CombinedOutput()
		if err != nil {
			t.Skip("the test cannot be run as another user here: ", err)
		}
		_, said, _ := strings.Cut(string(out), "said: ")
		line, _, _ := strings.Cut(said, "\n")
		return line
	}
	assert.Contains(t, open(), "the key may not be read by this user: it belongs to root; give it back with: sudo chown ")
	require.NoError(t, os.Chown(key, nobody, nobody))
	said := open()
	assert.Contains(t, said, "the store may not be written")
	assert.Contains(t, said, "it belongs to root; give it back with: sudo chown ")
	assert.True(t, strings.HasSuffix(said, " "+path), said)
	require.NoError(t, os.Chown(path, nobody, nobody))
	assert.Equal(t, "opened", open())

	_, err = Restore(t.Context(), filepath.Join(dir, "copy.db"), path, o)
	require.NoError(t, err)
	assert.Equal(t, "opened", open(), "restored by root")
	_, err = NewKey(t.Context(), path, o)
	require.NoError(t, err)
	assert.Equal(t, "opened", open(), "sealed anew by root")

	require.NoError(t, os.Chmod(dir, 0o700))
	assert.Contains(t, open(), "the folder "+dir+" belongs to root")
}
