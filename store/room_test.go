//go:build linux || darwin || windows

package store

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRoomIsToldOfAFolderThatIsThere(t *testing.T) {
	dir := t.TempDir()
	assert.Positive(t, roomIn(dir))
	assert.Zero(t, roomIn(filepath.Join(dir, "gone")))
}
