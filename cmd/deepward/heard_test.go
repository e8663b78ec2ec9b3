package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand"
)

// heardSaid are things that the reader does not understand, with names in them.
const heardSaid = "my region western australia\nwonkle 60m 5kg with Bob Fenwright off Zarrow Head\nwonkle 50m\nwonkle means dhufish\ngag 45m plorking 3kg\nlog scamp 40 m sent down 40 oz swam off tag AAD000123\nno, was 45 m\nquit\n"

func TestHeardListsPiecesAndNobody(t *testing.T) {
	at := where(t)
	code, out, errs := command(t, heardSaid, append([]string{"chat"}, at...)...)
	require.Zero(t, code, errs)
	require.Contains(t, out, "Remembered")
	code, out, errs = command(t, "", append([]string{"heard"}, at...)...)
	require.Zero(t, code, errs)
	assert.Regexp(t, `2\s+1\s+asked\s+en\s+wonkle \(taught: West Australian dhufish\)`, out)
	assert.Regexp(t, `1\s+1\s+unread\s+en\s+plorking`, out)
	assert.Regexp(t, `1\s+1\s+corrected\s+en\s+log scamp # m sent down # oz swam off tag …`, out)
	code, few, _ := command(t, "", append([]string{"heard", "--people", "2"}, at...)...)
	assert.Zero(t, code)
	assert.Equal(t, "nothing is kept that was not understood\n", few, "one person wrote it all")
	code, drafts, errs := command(t, "", append([]string{"heard", "--drafts", "-"}, at...)...)
	require.Zero(t, code, errs)
	for _, name := range []string{"Bob", "Fenwright", "Zarrow", "AAD", "000123"} {
		assert.NotContains(t, out+drafts, name)
	}
}

// The drafts have the form of the labelled texts: their keys, the values that they may have,
// and pieces that stand in the text; so the program that trains the reader takes them.
func TestDraftsHaveTheFormOfLabelledTexts(t *testing.T) {
	at := where(t)
	code, _, errs := command(t, heardSaid, append([]string{"chat"}, at...)...)
	require.Zero(t, code, errs)
	file := filepath.Join(t.TempDir(), "drafts.jsonl")
	code, out, errs := command(t, "", append([]string{"heard", "--drafts", file}, at...)...)
	require.Zero(t, code, errs)
	assert.Contains(t, out, "drafts written to "+file)
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "it is what people wrote")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	require.Greater(t, len(lines), 3)
	keys := strings.Fields("text lang place act follow_up want fish aboard_oz aboard_none aboard_lead_g predators day unsure said note")
	seen := map[string]bool{}
	for _, line := range lines {
		var all map[string]json.RawMessage
		require.NoError(t, json.Unmarshal([]byte(line), &all))
		for key := range all {
			assert.Contains(t, keys, key)
		}
		var d understand.Draft
		require.NoError(t, json.Unmarshal([]byte(line), &d))
		assert.False(t, seen[d.Text], "each once: %s", d.Text)
		seen[d.Text] = true
		assert.Contains(t, []understand.Act{"question", "report", "correction", "command", "other"}, d.Act)
		assert.Contains(t, d.Note, "draft, ")
		for key, piece := range d.Said {
			assert.Contains(t, d.Text, piece, key)
		}
		if strings.Contains(d.Text, "wonkle") && len(d.Fish) > 0 {
			assert.Equal(t, "Glaucosoma hebraicum", *d.Fish[0].Species, "as it was taught since")
		}
	}
}

// What is counted stands in /metrics without a word of it.
func TestPiecesAreCountedWithoutWords(t *testing.T) {
	at := where(t)
	code, _, errs := command(t, heardSaid, append([]string{"chat"}, at...)...)
	require.Zero(t, code, errs)
	c := serveCmd{storeFlags: storeFlags{DB: at[1], KeyFile: at[3]}}
	s, err := c.open(env{now: nil})
	require.NoError(t, err)
	defer s.Close()
	values := map[string]float64{}
	for _, g := range c.gauges(s, func() time.Time { return time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC) }, build{}) {
		values[g.Name] = g.Value()
	}
	assert.Equal(t, 4.0, values[`deepward_heard_pieces{kind="asked"}`])
	assert.Equal(t, 1.0, values[`deepward_heard_pieces{kind="unread"}`])
	assert.Equal(t, 1.0, values[`deepward_heard_pieces{kind="corrected"}`])
}
