package words

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

func TestCataloguesArePackedAsTheyStand(t *testing.T) {
	names, err := filepath.Glob("*.json")
	require.NoError(t, err)
	assert.Len(t, names, len(Languages))
	for _, name := range names {
		sheet, err := os.ReadFile(name)
		require.NoError(t, err)
		gzip, err := files.ReadFile(name + ".gz")
		require.NoError(t, err)
		assert.True(t, string(sheet) == packed.Text(gzip), "%s has changed: go generate ./bot/words", name)
	}
}
