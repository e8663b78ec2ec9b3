package export_test

import (
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/export"
	"deepward/store/unfinished"
)

// What a killed export left is cleared away by the next, and not what another is writing.
func TestPartOfAKilledExportIsClearedAway(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("there what is left goes after a day")
		return
	}
	dir := t.TempDir()
	path, left := filepath.Join(dir, "out.csv"), filepath.Join(dir, ".deepward-part-1")
	require.NoError(t, os.WriteFile(left, []byte("half"), 0o600))
	written, err := unfinished.Beside(path, unfinished.Part)
	require.NoError(t, err)
	defer written.Close()
	require.NoError(t, export.WriteFile(path, 0o600, func(w io.Writer) error {
		_, err := w.Write([]byte("whole"))
		return err
	}))
	assert.NoFileExists(t, left)
	assert.FileExists(t, written.Name())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "whole", string(data))
}
