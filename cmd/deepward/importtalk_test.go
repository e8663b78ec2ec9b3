package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// copied puts a table of testdata into a folder of its own.
func copied(t *testing.T, names ...string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "tables", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	return dir
}

func TestImportTalksAndKeepsWhatWasAnswered(t *testing.T) {
	dir, db := copied(t, "94-bare-figures.csv"), where(t)
	file := filepath.Join(dir, "94-bare-figures.csv")
	code, out, errs := command(t, "furlongs\n2\nSummer 2020\nkeep\n", append([]string{"import", file, "--ask"}, db...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "That is no answer here")
	assert.Contains(t, out, "line 2: 2020-07-01, Lutjanus campechanus, 45.72 m, 3.86 kg, 60.96 cm, recompressed", "the row as understood after the answer")
	assert.Contains(t, out, "2 reports added")
	assert.Contains(t, out, "Season Summer 2020")
	kept, err := os.ReadFile(filepath.Join(dir, answersFile))
	require.NoError(t, err)
	assert.JSONEq(t, `{"date | species | depth | length | weight | method": {"units": "imperial"}}`, string(kept))

	data, err := os.ReadFile(file)
	require.NoError(t, err)
	next := filepath.Join(dir, "next-year.csv")
	require.NoError(t, os.WriteFile(next, []byte(strings.ReplaceAll(string(data), "2020", "2021")), 0o600))
	code, out, errs = command(t, "", "import", next, "--rows")
	require.Equal(t, exitDone, code, errs)
	assert.Empty(t, questions(out), "the next table of the same headings asks nothing")
	assert.Contains(t, out, "2021-07-01, Lutjanus campechanus, 45.72 m")
}

func TestImportThatIsLeftKeepsNothing(t *testing.T) {
	dir, db := copied(t, "94-bare-figures.csv"), where(t)
	for _, in := range []string{"quit\n", "", "2\n\nno\n", "2\n\n"} {
		code, out, errs := command(t, in, append([]string{"import", filepath.Join(dir, "94-bare-figures.csv"), "--ask"}, db...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Contains(t, out, "Nothing was kept", "%q", in)
		assert.NoFileExists(t, db[1])
	}
}

func TestReturnsInAFileOfTheirOwn(t *testing.T) {
	dir, db := copied(t, "91-releases.csv", "91-returns.csv"), where(t)
	code, out, errs := command(t, "", append([]string{"import", filepath.Join(dir, "91-releases.csv"), "--returns", filepath.Join(dir, "91-returns.csv"), "--keep", "--season", "Spring"}, db...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "2 recaptures have their release in 91-releases.csv, 1 do not")
	assert.Contains(t, out, "8 reports added")
	assert.NoFileExists(t, filepath.Join(dir, answersFile), "scripts keep no answers")
}

func TestImportRefusesWordsThatMeanNothing(t *testing.T) {
	dir := copied(t, "94-bare-figures.csv")
	for _, flag := range [][]string{{"--units", "furlongs"}, {"--dates", "dym"}, {"--recaptures", "maybe"}, {"--comma", "dot"}, {"--date", "May"}} {
		code, _, errs := command(t, "", append([]string{"import", filepath.Join(dir, "94-bare-figures.csv")}, flag...)...)
		assert.Equal(t, exitUsage, code, flag)
		assert.Contains(t, errs, flag[0])
	}
}
