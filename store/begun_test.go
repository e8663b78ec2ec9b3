package store

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was cleared away before it had its name is begun anew, and what fails otherwise is not.
func TestWhatWasClearedAwayIsBegunAnew(t *testing.T) {
	t.Parallel()
	tries := 0
	require.NoError(t, begunAnew(func() error {
		if tries++; tries < 3 {
			return &fs.PathError{Op: "link", Path: "key", Err: fs.ErrNotExist}
		}
		return nil
	}))
	assert.Equal(t, 3, tries)
	tries = 0
	assert.ErrorIs(t, begunAnew(func() error { tries++; return fs.ErrExist }), fs.ErrExist)
	assert.Equal(t, 1, tries)
}
