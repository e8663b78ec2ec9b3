package advisor

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

// readTable reads the rows of a table of check values, the names of its columns left out.
func readTable(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func TestAFaultyTableNamesRowAndColumn(t *testing.T) {
	read := func(table string) error {
		return readRows([]byte(table), func(r *tableRow) { r.number("depth_m") })
	}
	assert.NoError(t, read("name,depth_m\ncod,40\nling,\n"))
	assert.ErrorContains(t, read("name,depth_m\ncod,40\nling,deep\n"), `row 3 (ling): column "depth_m"`)
	assert.ErrorContains(t, read("name\ncod\n"), `no column "depth_m"`)
	assert.Error(t, read("name,depth_m\ncod\n"))
	assert.Panics(t, func() {
		mustReadRows("fish", []byte("name\ncod\n"), func(r *tableRow) { r.text("depth_m") })
	})
}

func TestListsAreSetOffBySemicolons(t *testing.T) {
	err := readRows([]byte("name,others\ncod,codling; scrod ;\n"), func(r *tableRow) {
		assert.Equal(t, []string{"codling", "scrod"}, r.list("others"))
	})
	require.NoError(t, err)
}

func TestTablesArePackedAsTheyStand(t *testing.T) {
	for name, gzip := range map[string][]byte{
		"gazetteer_names.csv": gazetteerNamesGzip, "gazetteer_taxa.csv": gazetteerTaxaGzip,
		"species.csv": speciesGzip, "evidence.csv": evidenceGzip, "survival_model.json": survivalGzip,
	} {
		table, err := os.ReadFile("data/" + name)
		require.NoError(t, err)
		assert.True(t, string(table) == string(packed.Open(gzip)), "%s has changed: go generate ./advisor", name)
	}
}
