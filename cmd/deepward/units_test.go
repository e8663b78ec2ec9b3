package main

import (
	"iter"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// A word for a unit is the same unit in a chat and in a table.
func TestUnitsOfChatAndTablesAgree(t *testing.T) {
	rows := func(path ...string) iter.Seq2[int, []string] {
		data, err := os.ReadFile(filepath.Join(append([]string{"..", ".."}, path...)...))
		require.NoError(t, err)
		return advisor.Rows("units", data)
	}
	inTables := map[[2]string]string{}
	for _, r := range rows("store", "importer", "data", "units.csv") {
		inTables[[2]string{r[0], r[1]}] = r[2]
	}
	shared := 0
	for _, r := range rows("bot", "understand", "data", "units.csv") {
		if factor, ok := inTables[[2]string{r[1], r[0]}]; ok {
			assert.Equal(t, factor, r[2], "%s of %s", r[0], r[1])
			shared++
		}
	}
	assert.Greater(t, shared, 40)
}
