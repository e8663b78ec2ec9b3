package bot_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
)

// summed is what /summary brings a person in the club's group.
func (k *talk) summed(who bot.Person) (delivered, bot.File) {
	k.t.Helper()
	return k.made(only(k.t, k.tell(who, "/summary")))
}

// made is a reply with the words of its summary: they are made when it is sent, so
// that a long log is read while reports are taken.
func (k *talk) made(r delivered) (delivered, bot.File) {
	k.t.Helper()
	if r.Attach == nil {
		return r, bot.File{}
	}
	f, err := files.New(k.store, nil).Make(k.t.Context(), *r.Attach)
	require.NoError(k.t, err)
	r.Text += f.Caption
	return r, f
}

func TestSummaryTellsTheSeasonShortlyWithAPicture(t *testing.T) {
	k := newTalk(t)
	r, _ := k.summed(ada)
	assert.Equal(t, "No reports to sum up yet", r.Text)
	for i := range 8 {
		k.tell(ada, fmt.Sprintf("log red snapper 50 m 50 cm sent down 40 oz swam down tag AAD00%04d", i))
	}
	k.tell(bruno, "log red snapper 50 m 50 cm surface release floated off")
	r, f := k.summed(cleo)
	require.NotNil(t, r.Attach)
	assert.Equal(t, "season.png", f.Name)
	for _, line := range []string{
		"9 fish in the log", "sent down: 8, 8 of 8 that were watched went down", "let go at the top: 1, 0 of 1", "Sent down: 89 % of all released",
		"Of every 100 fish like these sent down:", "These are reports, not an experiment",
	} {
		assert.Contains(t, r.Text, line)
	}
	assert.True(t, strings.HasPrefix(r.Text, "By published studies, about "), "the headline is what was gained: %s", r.Text)
	assert.Less(t, len(r.Text), 1024, "it fits under a photo (Bot API, sendPhoto)")
	if assert.NotNil(t, r.Attach) {
		assert.Equal(t, bot.FileSummary, r.Attach.Kind)
		assert.True(t, r.Attach.Photo)
		assert.Equal(t, "en", r.Attach.Args["language"])
	}
	for _, name := range []string{"Ada", "Bruno", "501"} {
		assert.NotContains(t, r.Text, name)
	}
}

func TestSummaryHasNoPictureOfNothing(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "log red snapper 50 m 50 cm surface release floated off")
	r, f := k.summed(ada)
	assert.Empty(t, f.Name)
	assert.Contains(t, r.Text, "1 fish in the log")
}

// summedFor is the words of the summary that a person gets in private.
func (k *talk) summedFor(who bot.Person) string {
	k.t.Helper()
	r, _ := k.made(only(k.t, k.say(who, "/summary")))
	return r.Text
}
