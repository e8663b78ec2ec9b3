package bot_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/bot"
)

func TestSummaryTellsTheSeasonShortlyWithAPicture(t *testing.T) {
	k := newTalk(t)
	assert.Equal(t, "No reports to sum up yet", only(t, k.tell(ada, "/summary")).Text)
	for i := range 8 {
		k.tell(ada, fmt.Sprintf("log red snapper 50 m 50 cm sent down 40 oz swam down tag AAD00%04d", i))
	}
	k.tell(bruno, "log red snapper 50 m 50 cm surface release floated off")
	r := only(t, k.tell(cleo, "/summary"))
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
	r := only(t, k.tell(ada, "/summary"))
	assert.Nil(t, r.Attach)
	assert.Contains(t, r.Text, "1 fish in the log")
}
