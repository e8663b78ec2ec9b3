package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
)

// command runs the program as a person would, in memory.
func command(t *testing.T, in string, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, env{in: strings.NewReader(in), out: &o, err: &e, now: func() time.Time {
		return time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	}})
	return code, o.String(), e.String()
}

// where names a scratch store.
func where(t *testing.T) []string {
	dir := t.TempDir()
	return []string{"--db", filepath.Join(dir, "d", "t.db"), "--key-file", filepath.Join(dir, "k", "key")}
}

func TestAskAnswersOneObjectALineInOrder(t *testing.T) {
	code, out, _ := command(t, "red snapper 45m 3kg eyes bulging\n\ngreat day out, thanks all\ncowcod\n", "ask", "--json", "-")
	require.Equal(t, exitDone, code)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	require.Len(t, lines, 4)
	var first struct {
		Kind   string
		Query  map[string]any
		Advice struct {
			Action string
			Oz     float64 `json:"release_weight_oz"`
			Push   any     `json:"push_down_depth_m"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	assert.Equal(t, "question", first.Kind)
	assert.Equal(t, "recompress", first.Advice.Action)
	assert.Equal(t, 40.0, first.Advice.Oz)
	assert.Nil(t, first.Advice.Push)
	assert.Nil(t, first.Query["length_cm"])
	assert.Nil(t, first.Query["length_type"])
	assert.Equal(t, []any{"bulging_eyes"}, first.Query["signs"])
	assert.Contains(t, lines[2], `"kind":"other"`)
	assert.Contains(t, lines[3], `"missing":["depth"]`)
}

// The names of the contract, all of them and in this spelling: scripts read them.
func TestContractFields(t *testing.T) {
	_, out, _ := command(t, "", "ask", "--json", "gag 40-45m 4kg")
	var all map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(out), &all))
	var query, advice, survival map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(all["query"], &query))
	require.NoError(t, json.Unmarshal(all["advice"], &advice))
	require.NoError(t, json.Unmarshal(advice["survival"], &survival))
	for _, name := range []string{"text", "kind", "query", "missing", "problems", "advice", "reply"} {
		assert.Contains(t, all, name)
	}
	for _, name := range strings.Fields("species species_name candidates ambiguous depth_m depth_range_m weight_kg length_cm length_type count signs hook bleeding minutes_on_deck behaviour predators") {
		assert.Contains(t, query, name)
	}
	for _, name := range strings.Fields("action release_weight_oz release_weights_oz release_depth_m lift_gf lift_range_gf needed_oz push_down_depth_m neutral_depth_m descent_s survival evidence reasons cautions assumed") {
		assert.Contains(t, advice, name)
	}
	for _, name := range []string{"surface", "vented", "recompressed"} {
		assert.Contains(t, survival, name)
	}
	assert.JSONEq(t, "[40,45]", string(query["depth_range_m"]))
	assert.JSONEq(t, "45", string(query["depth_m"]))
}

func TestExitCodes(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		code int
	}{
		"help":             {[]string{"ask", "--help"}, exitDone},
		"unknown command":  {[]string{"fly"}, exitUsage},
		"missing argument": {[]string{"ask"}, exitUsage},
		"unknown region":   {[]string{"ask", "--region", "the moon", "gag 40m"}, exitUsage},
		"no store":         {[]string{"export", "--db", filepath.Join(t.TempDir(), "none.db")}, exitUsage},
		"no such format":   {append([]string{"export", "--format", "parquet"}, where(t)...), exitUsage},
		"nothing to do":    {append([]string{"backup"}, where(t)...), exitUsage},
		"unknown fish":     {[]string{"evidence", "wibblefish"}, exitFailed},
		"bad kit":          {[]string{"kit", "--depth", "80", "--to", "10kg"}, exitUsage},
	} {
		code, out, errs := command(t, "", c.args...)
		assert.Equal(t, c.code, code, "%s: %s", name, errs)
		if c.code != exitDone {
			assert.Equal(t, 1, strings.Count(errs, "\n"), "%s: one line: %q", name, errs)
			assert.Empty(t, out, name)
		} else {
			assert.Contains(t, out, "Example:", name)
		}
	}
}

func TestTokenMustComeFromTheEnvironmentOrAFile(t *testing.T) {
	t.Setenv("DEEPWARD_TOKEN", "")
	t.Setenv("DEEPWARD_TOKEN_FILE", "")
	code, _, errs := command(t, "", append([]string{"serve", "--check"}, where(t)...)...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "DEEPWARD_TOKEN_FILE")
}

// The main job, end to end: ask, tap, answer, export.
func TestFromTheBoatToTheSpreadsheet(t *testing.T) {
	w := where(t)
	talk := "red snapper 45m 3kg eyes bulging\n1\n1\nAAD000123\nlog gag 40 m 52 cm sent down 40 oz swam off\nundo\nmine\nquit\n"
	code, out, errs := command(t, talk, append([]string{"chat"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "SEND IT DOWN: 40 oz, to 45 m")
	assert.Contains(t, out, "no. 1")
	code, out, errs = command(t, "", append([]string{"export"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2, out)
	assert.Equal(t, "Lutjanus campechanus", rows[1][4])
	assert.Equal(t, "recompressed", rows[1][13])
	assert.Equal(t, "AAD000123", rows[1][25])
}

func TestDemoIsThereToLookAround(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	code, out, errs := command(t, "", "demo", "--dir", dir, "--reports", "120")
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "120 invented reports")
	w := []string{"--db", filepath.Join(dir, "demo.db"), "--key-file", filepath.Join(dir, "demo.key")}
	code, out, _ = command(t, "", append([]string{"backup", "--check"}, w...)...)
	assert.Equal(t, exitDone, code)
	assert.Contains(t, out, "sound")
	file := filepath.Join(dir, "all.zip")
	code, _, errs = command(t, "", append([]string{"export", "--license", "cc0", "--format", "all", "-o", file}, w...)...)
	require.Equal(t, exitDone, code, errs)
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Positive(t, info.Size())
	code, _, _ = command(t, "", "demo", "--dir", dir)
	assert.Equal(t, exitUsage, code, "an old demo is not overwritten")
}

// The contract: a hot copy of a store that is in use.
func TestStoreInUseIsCopiedHot(t *testing.T) {
	t.Parallel()
	w := where(t)
	_, _, errs := command(t, "log gag 40 m sent down 40 oz\nquit\n", append([]string{"chat"}, w...)...)
	require.Empty(t, errs)
	s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
	require.NoError(t, err)
	defer s.Close()
	copied := filepath.Join(t.TempDir(), "copy.db")
	code, out, errs := command(t, "", append([]string{"backup", "--out", copied}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "in use")
	code, out, errs = command(t, "", "export", "--db", copied, "--key-file", w[3])
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "Mycteroperca microlepis")
}

// While serve has the store, what only reads reads a copy of that moment, and what
// writes says in one line what to do instead.
func TestStoreInUseIsReadAndWhatWouldWriteSaysWhatToDo(t *testing.T) {
	t.Parallel()
	w := where(t)
	_, _, errs := command(t, "log gag 40 m sent down 40 oz\nquit\n", append([]string{"chat"}, w...)...)
	require.Empty(t, errs)
	other := filepath.Join(t.TempDir(), "other.db")
	code, _, errs := command(t, "", append([]string{"backup", "--out", other}, w...)...)
	require.Equal(t, exitDone, code, errs)
	old := filepath.Join(t.TempDir(), "old.csv")
	require.NoError(t, os.WriteFile(old, []byte("Date,Fish,Depth (ft),Rel. method\n2019-05-14,gag,120,sent down\n"), 0o600))
	s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
	require.NoError(t, err)
	defer s.Close()
	for _, c := range []struct{ command, says string }{
		{"export --format table", "Mycteroperca microlepis"},
		{"report --json", "recompressed"},
		{"season", "SEASON"},
		{"failed", "no failed updates"},
		{"merge " + other, "0 reports would be added, 1 are there"},
	} {
		code, out, errs := command(t, "", append(strings.Fields(c.command), w...)...)
		assert.Equal(t, exitDone, code, "%s: %s", c.command, errs)
		assert.Contains(t, out, c.says, c.command)
	}
	for _, c := range []struct{ command, says string }{
		{"season new Spring --from 2026-03-01 --to 2026-06-30 --chat 1", "/season new Spring 2026-03-01 2026-06-30"},
		{"season close Spring --chat 1", "/season close Spring"},
		{"season open Spring --chat 1", "/season open Spring"},
		{"merge --keep " + other, "stop it"},
		{"import --keep " + old, "stop it"},
	} {
		code, _, errs := command(t, "", append(strings.Fields(c.command), w...)...)
		assert.Equal(t, exitFailed, code, c.command)
		assert.Contains(t, errs, c.says)
		assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(w[1]), ".deepward-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

func TestOldLogComesInOnceAndOnlyWhenTold(t *testing.T) {
	w := where(t)
	file := filepath.Join(t.TempDir(), "old.csv")
	require.NoError(t, os.WriteFile(file, []byte("Date,Fish,Depth (ft),Wt lb,Rel. method,Tag #\n2019-05-14,gag,120,8,sent down,SKP000900\n2019-05-15,red snapper,130,5,surface,\n"), 0o600))
	code, out, errs := command(t, "", append([]string{"import", file, "--rows"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "Nothing was written")
	assert.NoFileExists(t, w[1])
	for _, want := range []string{"2 reports added, 0 were there", "0 reports added, 2 were there"} {
		code, out, errs = command(t, "", append([]string{"import", file, "--keep"}, w...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Contains(t, out, want)
	}
	_, out, _ = command(t, "", append([]string{"export", "--format", "table"}, w...)...)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 3)
}

func TestEditInTheTerminalCorrectsTheLastMessage(t *testing.T) {
	w := where(t)
	code, out, errs := command(t, "log gag 40 m sent down 40 oz\nedit log gag 48 m sent down 40 oz\nquit\n", append([]string{"chat"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "Corrected no. 1: Gag grouper, 48 m")
}

func TestMergeTakesOverAnotherClubsSeasonOnce(t *testing.T) {
	t.Parallel()
	theirs, ours := t.TempDir(), where(t)
	code, _, errs := command(t, "", "demo", "--dir", theirs, "--reports", "40")
	require.Equal(t, exitDone, code, errs)
	merge := append([]string{"merge", filepath.Join(theirs, "demo.db"), "--with-key", filepath.Join(theirs, "demo.key")}, ours...)
	before, err := os.ReadFile(filepath.Join(theirs, "demo.db"))
	require.NoError(t, err)

	for _, step := range []struct {
		keep []string
		want string
	}{
		{nil, "40 reports would be added, 0 are there already. Nothing was written"},
		{nil, "40 reports would be added, 0 are there already"},
		{[]string{"--keep"}, "40 reports added, 0 were there already"},
		{[]string{"--keep"}, "0 reports added, 40 were there already"},
		{[]string{"--season", "No such season", "--keep"}, "0 reports added, 0 were there already"},
	} {
		code, out, errs := command(t, "", append(merge, step.keep...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Contains(t, out, step.want)
	}
	after, err := os.ReadFile(filepath.Join(theirs, "demo.db"))
	require.NoError(t, err)
	assert.Equal(t, before, after, "the other store stays as it is")

	code, out, errs := command(t, "", append([]string{"export", "--format", "csv"}, ours...)...)
	require.Equal(t, exitDone, code, errs)
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(out, "\ufeff"))).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 41)
}

func TestExportSaysOnlyWhatItIsAskedFor(t *testing.T) {
	w := where(t)
	talk := "log gag 40 m 52 cm sent down 40 oz\nat -31.2345 -18.6789\n1\nlog red snapper 30 m kept\nmy name yes\nquit\n"
	code, _, errs := command(t, talk, append([]string{"chat"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	take := func(args ...string) string {
		code, out, errs := command(t, "", append(append([]string{"export"}, args...), w...)...)
		require.Equal(t, exitDone, code, errs)
		return out
	}
	plain := take()
	assert.NotContains(t, plain, "log gag")
	assert.NotContains(t, plain, "-31.23")
	assert.Contains(t, plain, "-31.25", "the middle of the 0.1° cell")
	assert.Contains(t, take("--with-words"), "log gag 40 m 52 cm")
	assert.Contains(t, take("--grid", "1"), "-31.5")
	assert.Equal(t, 3, strings.Count(take("--from", "2026-05-02", "--to", "2026-05-02"), "\n"))
	code, _, errs = command(t, "", append([]string{"export", "--grid", "0.3"}, w...)...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "0.2, 0.5")
}
