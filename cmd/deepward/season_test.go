package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
)

// lines are the lines of a table, with one space between the columns.
func lines(out string) (list []string) {
	for line := range strings.Lines(out) {
		list = append(list, strings.Join(strings.Fields(line), " "))
	}
	return list
}

func TestSeasonsAreShownOpenedClosedAndReopened(t *testing.T) {
	w := twoClubs(t)
	step := func(want string, args ...string) {
		t.Helper()
		code, out, errs := command(t, "", append(append([]string{"season"}, args...), w...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Contains(t, lines(out), want)
	}
	step("1 - Spring 2026-03-01 2026-06-30 open 2")
	step("1 - in no season 1")
	step("2 - Autumn trip 2026-09-01 2026-09-30 open 0", "new", "Autumn trip", "--from", "2026-09-01", "--to", "2026-09-30", "--chat", "2")
	step("1 - Spring 2026-03-01 2026-06-30 closed 2", "close", "Spring", "--chat", "1")
	assert.Equal(t, "", seasonOn(t, w, "2026-04-01"), "a closed season takes nothing")
	step("1 - Spring 2026-03-01 2026-06-30 open 2", "open", "Spring", "--chat", "1")
	assert.Equal(t, "Spring", seasonOn(t, w, "2026-06-30"), "its last day is in it")
	step("1 - Spring 2026-03-01 2026-07-31 open 2", "new", "Spring", "--from", "2026-03-01", "--to", "2026-07-31", "--chat", "1")
	for _, wrong := range [][]string{
		{"close", "Winter", "--chat", "1"}, {"close", "Spring", "--chat", "9"}, {"new", "X", "--from", "2026-09-01", "--to", "2026-08-01", "--chat", "1"},
		{"new", "X", "--from", "soon", "--to", "2026-08-01", "--chat", "1"}, {"close", "Spring"},
		{"new", "Early", "--from", "2026-02-01", "--to", "2026-03-01", "--chat", "1"},
	} {
		code, _, errs := command(t, "", append(append([]string{"season"}, wrong...), w...)...)
		assert.Equal(t, exitUsage, code, wrong)
		assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
	}
}

// seasonOn is the season of the first club that a fish of that day would be in.
func seasonOn(t *testing.T, w []string, day string) (name string) {
	t.Helper()
	days, err := filterFlags{To: day}.filter()
	require.NoError(t, err)
	s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.View(func(tx *store.Tx) (err error) {
		name, err = tx.SeasonAt(1, days.To.Add(-1))
		return err
	}))
	return name
}

// A club's store and a backup of it that went on elsewhere: only what is new is
// added, of the season that was asked for.
func TestMergeTakesOneSeasonOfABackup(t *testing.T) {
	w := twoClubs(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	code, _, errs := command(t, "", append([]string{"backup", "--out", backup}, w...)...)
	require.Equal(t, exitDone, code, errs)
	for _, talk := range []string{"log gag 40 m sent down 40 oz\nquit\n", "log gag 45 m sent down 40 oz\nquit\n"} {
		code, _, errs = command(t, talk, "chat", "--db", backup, "--key-file", w[3])
		require.Equal(t, exitDone, code, errs)
	}
	for _, c := range []struct {
		flags, want string
	}{
		{"--season Spring --keep", "0 reports added, 2 were there already"},
		{"--from-chat 2 --keep", "0 reports added, 2 were there already"},
		{"", "2 reports would be added, 5 are there already"},
		{"--keep", "2 reports added, 5 were there already"},
		{"--keep", "0 reports added, 7 were there already"},
	} {
		code, out, errs := command(t, "", append(append([]string{"merge", backup}, w...), strings.Fields(c.flags)...)...)
		require.Equal(t, exitDone, code, errs)
		assert.Contains(t, out, c.want, c.flags)
	}
	assert.Len(t, exported(t, w), 7)
}
