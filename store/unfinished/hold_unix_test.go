//go:build unix

package unfinished

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whoever clears a folder away takes nothing that another begins there at that moment.
func TestWhatIsJustBegunIsNotClearedAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "log.csv")
	var clearing sync.WaitGroup
	ended := make(chan struct{})
	for range 2 {
		clearing.Go(func() {
			for {
				select {
				case <-ended:
					return
				default:
					assert.NoError(t, Drop(filepath.Dir(path)))
				}
			}
		})
	}
	defer clearing.Wait()
	defer close(ended)
	for range 3000 {
		f, err := Beside(path, Part)
		require.NoError(t, err)
		require.NoError(t, os.Rename(f.Name(), path))
		require.NoError(t, f.Close())
	}
}
