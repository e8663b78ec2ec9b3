package bot_test

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/store"
)

// A talk goes on where it was when the program was replaced by a newer one: the store was
// written by the program of schema 5, in the middle of two talks.
func TestTalkOfAnOlderProgramGoesOn(t *testing.T) {
	k := olderTalk(t, "schema5")
	k.say(ada, "let go with 40 oz, swam down")
	k.say(bruno, "no, it was 45 m")
	kept := k.reports()
	require.Len(t, kept, 2)
	asked, told := kept[1], kept[0]
	if told.Personal.Person != bruno.ID {
		asked, told = told, asked
	}
	assert.Equal(t, advisor.Capture{
		DepthM: new(40.0), WeightKg: new(5.0), Signs: []advisor.Sign{advisor.BulgingEyes}, Hook: advisor.HookGut, MinutesOnDeck: new(4.0),
	}, asked.Capture, "as it was asked about")
	assert.Equal(t, advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{40}, Outcome: advisor.SwamDown}, asked.Release)
	assert.Equal(t, advisor.Capture{DepthM: new(45.0), LengthCm: new(60.0), LengthType: advisor.ForkLength}, told.Capture, "only the depth was put right")
	assert.Equal(t, advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{40}, Tag: "SK-5"}, told.Release)
}

// olderTalk goes on over a copy of a kept store of an earlier schema, a minute later.
func olderTalk(t *testing.T, name string) *talk {
	t.Helper()
	k := &talk{t: t, now: noon.Add(time.Minute), ids: 100}
	data, err := os.ReadFile(filepath.Join("../testdata/stores", name+".db"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "t.db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	k.store, err = store.Open(path, store.Options{KeyFile: filepath.Join("../testdata/stores", name+".key"), Now: func() time.Time { return k.now }})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, k.store.Close()) })
	k.desk = &bot.Desk{Store: k.store, Engine: bot.NewEngine(), Maker: noFiles{}, Log: slog.New(slog.DiscardHandler)}
	return k
}
