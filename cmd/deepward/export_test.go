package main

import (
	"archive/zip"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

// twoClubs is a store with two clubs, each with a season, and five fish.
func twoClubs(t *testing.T) []string {
	t.Helper()
	w := where(t)
	s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
	require.NoError(t, err)
	day := func(text string) time.Time {
		d, err := time.Parse(time.DateOnly, text)
		require.NoError(t, err)
		return d.Add(10*time.Hour + 17*time.Minute)
	}
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for i, transport := range []catch.ChatID{-71, -72} {
			chat, err := tx.ChatNumber(transport)
			require.NoError(t, err)
			require.NoError(t, tx.PutSeason(catch.Season{Name: []string{"Spring", "Rockfish"}[i], Chat: chat, Opens: day("2026-03-01").Truncate(24 * time.Hour), Closes: day("2026-06-30").Truncate(24 * time.Hour).Add(24*time.Hour - time.Second)}))
			for j, d := range []string{"2026-03-05", "2026-04-30", "2026-07-01"}[:3-i] {
				r := &catch.Report{Chat: chat, Species: "Mycteroperca microlepis", Capture: advisor.Capture{DepthM: new(40.0)}, Release: advisor.Release{Method: "recompressed"}, CaughtAt: day(d), Named: j == 0, Cell: catch.CellOf(-31.23, -18.57)}
				r.Personal = catch.Personal{Person: 7, Name: "Ada Fenwright", Words: "two of them, see Bruno", Lat: new(-31.2345), Lon: new(-18.5678)}
				_, err := tx.AddReport(r)
				require.NoError(t, err)
			}
		}
		return nil
	}))
	require.NoError(t, s.Close())
	return w
}

// exported are the rows of an export as a table, by column.
func exported(t *testing.T, w []string, flags ...string) (rows []map[string]string) {
	t.Helper()
	code, out, errs := command(t, "", append(append([]string{"export", "--format", "table"}, w...), flags...)...)
	require.Equal(t, exitDone, code, errs)
	all, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	for _, fields := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = fields[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func TestExportTakesWhatIsAskedFor(t *testing.T) {
	w := twoClubs(t)
	for _, c := range []struct {
		flags string
		rows  int
	}{
		{"", 5}, {"--chat 1", 3}, {"--chat 2", 2}, {"--season Spring", 2}, {"--season Rockfish", 2},
		{"--from 2026-04-30", 3}, {"--to 2026-04-30", 4}, {"--from 2026-04-30 --to 2026-04-30", 2},
		{"--chat 1 --from 2026-07-01", 1},
	} {
		assert.Len(t, exported(t, w, strings.Fields(c.flags)...), c.rows, c.flags)
	}
	code, _, errs := command(t, "", append([]string{"export", "--season", "Sprig"}, w...)...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errs, "deepward season shows", "an empty log says why it may be so")
}

func TestExportNamesAndPlacesAreAsFineAsAskedFor(t *testing.T) {
	w := twoClubs(t)
	for _, c := range []struct {
		flags, lat, time string
		names, words     bool
	}{
		{"", "-31.25", "10:00Z", false, false},
		{"--grid 1", "-31.5", "10:00Z", false, false},
		{"--grid 0.01", "-31.235", "10:17Z", false, false},
		{"--with-names", "-31.25", "10:00Z", true, false},
		{"--with-words", "-31.25", "10:00Z", false, true},
	} {
		rows := exported(t, w, strings.Fields(c.flags)...)
		assert.Equal(t, c.lat, rows[0]["cell_lat"], c.flags)
		assert.Equal(t, c.time, rows[0]["time"], c.flags)
		assert.Equal(t, c.names, rows[0]["angler"] == "Ada Fenwright", "who agreed: %s", c.flags)
		assert.NotEqual(t, "Ada Fenwright", rows[4]["angler"], "who did not agree")
		assert.Equal(t, c.words, rows[0]["words"] == "two of them, see Bruno", c.flags)
	}
	code, _, errs := command(t, "", append([]string{"export", "--grid", "0.3"}, w...)...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "choose a cell of 0.1")
}

func TestExportWritesEveryFormatToAFile(t *testing.T) {
	w := twoClubs(t)
	for format, entries := range map[string]int{"csv": 0, "table": 0, "geojson": 0, "xlsx": -1, "dwca": 4, "all": 10} {
		file := filepath.Join(t.TempDir(), "log")
		code, _, errs := command(t, "", append([]string{"export", "--license", "cc-by", "--format", format, "-o", file}, w...)...)
		require.Equal(t, exitDone, code, errs)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		switch {
		case format == "geojson":
			assert.True(t, json.Valid(data))
		case entries != 0:
			z, err := zip.OpenReader(file)
			require.NoError(t, err, format)
			if entries > 0 {
				assert.Len(t, z.File, entries, format)
			}
			require.NoError(t, z.Close())
		default:
			assert.Equal(t, 6, strings.Count(string(data), "\n"), format)
		}
	}
}

// The archives of two stores can stand side by side: no identifier is in both.
func TestIdentifiersOfTwoStoresDiffer(t *testing.T) {
	seen := map[string]bool{}
	for range 2 {
		w := twoClubs(t)
		s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
		require.NoError(t, err)
		require.NoError(t, s.View(func(tx *store.Tx) error { seen[tx.Dataset()] = true; return nil }))
		require.NoError(t, s.Close())
	}
	assert.Len(t, seen, 2)
}

// The contract: an interrupted export leaves no half file, and one that was there
// stays.
func TestInterruptedExportLeavesNoHalfFile(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	code, _, errs := command(t, "", "demo", "--dir", dir, "--reports", "20000")
	require.Equal(t, exitDone, code, errs)
	out := filepath.Join(t.TempDir(), "season.zip")
	require.NoError(t, os.WriteFile(out, []byte("of last week"), 0o600))
	cmd := exec.Command(os.Args[0], "export", "--license", "cc0", "--format", "all", "-o", out, "--db", filepath.Join(dir, "demo.db"), "--key-file", filepath.Join(dir, "demo.key"))
	cmd.Env = append(os.Environ(), "DEEPWARD_TEST_CHILD=1")
	var said strings.Builder
	cmd.Stderr = &said
	require.NoError(t, cmd.Start())
	begun := func() bool {
		parts, err := filepath.Glob(filepath.Join(filepath.Dir(out), ".deepward-part-*"))
		return err == nil && len(parts) > 0
	}
	require.Eventually(t, begun, time.Minute, time.Millisecond)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.Error(t, cmd.Wait())
	assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode())
	assert.Contains(t, said.String(), "no file was left")
	entries, err := os.ReadDir(filepath.Dir(out))
	require.NoError(t, err)
	require.Len(t, entries, 1, "nothing but the old file")
	data, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.Equal(t, "of last week", string(data))
}
