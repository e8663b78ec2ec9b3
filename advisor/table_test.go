package advisor

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
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

// Lines are cut as the standard reader of RFC 4180 cuts them, in every table that stands
// here.
func TestRowsAreThoseOfTheStandardReader(t *testing.T) {
	tables, err := filepath.Glob("data/*.csv")
	require.NoError(t, err)
	more, err := filepath.Glob("../bot/understand/data/*.csv")
	require.NoError(t, err)
	for _, path := range append(tables, more...) {
		file, err := os.ReadFile(path)
		require.NoError(t, err)
		want, n := readTable(t, path), 0
		for i, row := range Rows(path, file) {
			n++
			if !slices.Equal(want[i], row) {
				require.Equal(t, want[i], row, path)
			}
		}
		assert.Len(t, want, n, path)
	}
}

func TestLinesThatAreNoRows(t *testing.T) {
	for line, want := range map[string][]string{
		`a,,b`: {"a", "", "b"}, `"a,b",c`: {"a,b", "c"}, `"say ""hm""",""`: {`say "hm"`, ""}, ``: {""}, `a,"b"`: {"a", "b"}, `it"s`: {`it"s`},
	} {
		cells, err := cellsOf(nil, line)
		assert.NoError(t, err, line)
		assert.Equal(t, want, cells, line)
	}
	for _, line := range []string{`"a`, `a,"b""`, `"a"b,c`} {
		_, err := cellsOf(nil, line)
		assert.Error(t, err, line)
	}
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
