package store_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// mapped is how much of the file the system counts as this program's memory, in
// kB: the sum of Rss over its mappings in /proc/self/smaps.
func mapped(t *testing.T, path string) (kb int) {
	t.Helper()
	smaps, err := os.Open("/proc/self/smaps")
	require.NoError(t, err)
	defer smaps.Close()
	mine := false
	for lines := bufio.NewScanner(smaps); lines.Scan(); {
		line := lines.Text()
		if first, _, _ := strings.Cut(line, " "); strings.Contains(first, "-") {
			mine = strings.HasSuffix(line, path)
		}
		var n int
		if _, err := fmt.Sscanf(line, "Rss: %d kB", &n); err == nil && mine {
			kb += n
		}
	}
	return kb
}

// Without care a walk over a season, or a check, would make the whole file count
// as memory of the program until it ends.
func TestLongWalkDoesNotKeepTheFileInMemory(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	add(t, s, season(24000)...)
	path := dir + "/data/t.db"
	require.Greater(t, s.Stats().FileBytes, int64(8<<20))
	most := 0
	require.NoError(t, s.View(func(tx *store.Tx) error {
		n := 0
		for _, err := range tx.Reports(catch.Filter{}) {
			require.NoError(t, err)
			if n++; n%1000 == 0 {
				most = max(most, mapped(t, path))
			}
		}
		return nil
	}))
	assert.Positive(t, most)
	assert.Less(t, most, 5<<10)
	t.Log(most, mapped(t, path))
	require.NoError(t, s.Check(context.Background()))
	assert.Less(t, mapped(t, path), 1<<10)
}
