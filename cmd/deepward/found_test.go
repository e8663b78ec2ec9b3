package main

import (
	"archive/zip"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// imported is a store with two clubs, a season each.
func imported(t *testing.T) []string {
	t.Helper()
	db := where(t)
	for _, club := range []string{"Skerrow", "Hollin Bay"} {
		args := []string{"import", "../../testdata/tables/91-releases.csv", "--club", club, "--season", "Spring " + club, "--keep"}
		code, _, errs := command(t, "", append(args, db...)...)
		require.Equal(t, exitDone, code, errs)
	}
	return db
}

func TestNoPageAboutNothing(t *testing.T) {
	db := imported(t)
	out := filepath.Join(t.TempDir(), "out")
	for name, c := range map[string]struct {
		flags []string
		says  string
	}{
		"mistyped season": {[]string{"--season", "Sprnig Skerrow"}, `there are "Spring Hollin Bay", "Spring Skerrow"`},
		"unknown club":    {[]string{"--chat", "99"}, "there is no club 99 here; there are"},
		"empty days":      {[]string{"--from", "2030-01-01"}, "those here run from 2021-03-01 to 2021-03-02"},
	} {
		for _, what := range []string{"report", "export"} {
			args := append(append([]string{what, "-o", out}, c.flags...), db...)
			code, _, errs := command(t, "", args...)
			assert.Equal(t, exitFailed, code, "%s: %s", what, name)
			assert.Contains(t, errs, c.says, "%s: %s", what, name)
			assert.NoFileExists(t, out, "%s: %s", what, name)
		}
	}
}

func TestClubsAreNotPooledUnasked(t *testing.T) {
	db := imported(t)
	out := filepath.Join(t.TempDir(), "season.html")
	code, _, errs := command(t, "", append([]string{"report", "-o", out}, db...)...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "(Skerrow)")
	assert.NoFileExists(t, out)
	for _, flag := range [][]string{{"--all-clubs"}, {"--season", "Spring Skerrow"}} {
		code, _, errs = command(t, "", append(append([]string{"report", "-o", out}, flag...), db...)...)
		assert.Equal(t, exitDone, code, errs)
	}
}

func TestDaysThatLeaveReportsOutsideAreTold(t *testing.T) {
	db := imported(t)
	args := append([]string{"season", "new", "Spring Skerrow", "--chat", "1", "--from", "2021-03-02", "--to", "2021-03-31"}, db...)
	code, _, errs := command(t, "", args...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "2 reports of Spring Skerrow would lie outside these days (2021-03-01 to 2021-03-01)")
	code, out, errs := command(t, "", append(args, "--yes")...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "2021-03-02")
}

func TestWrongKeyNamesTheFlag(t *testing.T) {
	db, other := imported(t), imported(t)
	code, _, errs := command(t, "", "report", db[0], db[1], other[2], other[3])
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errs, "--key-file")
}

func TestLicenceIsAskedOnceAndKeptWithTheSeason(t *testing.T) {
	db := imported(t)
	out := filepath.Join(t.TempDir(), "log.zip")
	args := append([]string{"export", "--format", "dwca", "--season", "Spring Skerrow", "-o", out}, db...)
	code, _, errs := command(t, "", args...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "--license cc0, cc-by or cc-by-nc")
	assert.NoFileExists(t, out)
	code, _, errs = command(t, "", append(args, "--license", "CC BY-NC", "--contact", "R. Finn <log@skerrow.example>")...)
	require.Equal(t, exitDone, code, errs)
	code, _, errs = command(t, "", args...)
	require.Equal(t, exitDone, code, errs)
	z, err := zip.OpenReader(out)
	require.NoError(t, err)
	defer z.Close()
	eml, err := fs.ReadFile(z, "eml.xml")
	require.NoError(t, err)
	assert.Contains(t, string(eml), "https://creativecommons.org/licenses/by-nc/4.0/legalcode")
	assert.Contains(t, string(eml), "log@skerrow.example")
}

func TestInventedDataIsMarked(t *testing.T) {
	dir := t.TempDir()
	code, _, errs := command(t, "", "demo", "--dir", dir, "--reports", "60")
	require.Equal(t, exitDone, code, errs)
	db := []string{"--db", filepath.Join(dir, "demo.db"), "--key-file", filepath.Join(dir, "demo.key")}
	page := filepath.Join(dir, "page.html")
	code, _, errs = command(t, "", append([]string{"report", "-o", page}, db...)...)
	require.Equal(t, exitDone, code, errs)
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.Contains(t, string(html), "Invented data")
	for _, format := range []string{"csv", "table", "geojson"} {
		code, out, errs := command(t, "", append([]string{"export", "--format", format}, db...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Equal(t, 60, strings.Count(out, "invented"), format)
	}
}
