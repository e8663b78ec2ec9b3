package importer

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

var update = flag.Bool("update", false, "write the golden files anew")

var now = time.Date(2026, 1, 10, 12, 0, 0, 0, time.UTC)

// options have a finder that knows some fish by name, as the chat's does.
func options() Options {
	fish := map[string]string{
		"red snapper": "Lutjanus campechanus", "red snaper": "Lutjanus campechanus", "gag": "Mycteroperca microlepis", "snapper": "Lutjanus campechanus",
	}
	return Options{
		Now: now, Chat: 7,
		FindSpecies: func(name string) (string, bool) {
			s := fish[strings.ToLower(name)]
			return s, s != "" && strings.ToLower(name) != "snapper"
		},
	}
}

func sheetOf(t *testing.T, text string, o Options) *Sheet {
	t.Helper()
	s, err := Read(strings.NewReader(text), "log.csv", o)
	require.NoError(t, err)
	return s
}

// only reads a file of one row that has no problem.
func only(t *testing.T, text string, o Options) *catch.Report {
	t.Helper()
	s := sheetOf(t, text, o)
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 1)
	require.Len(t, s.Rows[0].Entries, 1)
	return s.Rows[0].Entries[0].Report
}

// dryRun is what the dry run prints of a file.
func dryRun(t *testing.T, name string, o Options) string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	s, err := Read(f, name, o)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteSummary(&b))
	require.NoError(t, s.WriteRows(&b))
	return b.String()
}

func TestDryRunsShowWhatWasUnderstood(t *testing.T) {
	for _, name := range []string{"club-log.csv", "release-table.csv", "registro.csv"} {
		got := dryRun(t, name, options())
		path := filepath.Join("testdata", strings.TrimSuffix(name, ".csv")+".golden")
		if *update {
			require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, name)
	}
}

func TestNamesThatAreNotSureAreTold(t *testing.T) {
	s := sheetOf(t, "Date,Fish\n2025-03-04,snapper\n2025-03-04,blue thing\n2025-03-05,snapper\n2025-03-05,gag\n", options())
	require.NoError(t, s.Ready())
	assert.Len(t, s.Notes, 3, "and that no line tells a release method")
	assert.Contains(t, s.Notes[0].String(), `nobody here knows a fish called "blue thing" (1 lines)`)
	assert.Contains(t, s.Notes[1].String(), `"snapper" may be several fish (2 lines); perhaps Lutjanus campechanus`)
	r := s.Rows[0].Entries[0].Report
	assert.False(t, r.SpeciesSure)
	assert.Equal(t, "snapper", r.SpeciesGiven)
}
