package bot_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

func TestReportSendsSheetAndPageToOrganisersInPrivate(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/organiser")
	k.tell(admin, "/season new Spring 2026-03-01 2026-09-30")
	k.tell(admin, "log gag 40 m sent down 40 oz")

	replies := k.say(ada, "/report")
	require.Len(t, replies, 2)
	for i, form := range []string{"sheet", "page"} {
		require.NotNil(t, replies[i].Attach)
		assert.Equal(t, bot.FileReport, replies[i].Attach.Kind)
		assert.Equal(t, form, replies[i].Attach.Args["form"])
		assert.Equal(t, "Spring", replies[i].Attach.Args["season"])
	}
	assert.Nil(t, only(t, k.say(cleo, "/report")).Attach, "cleo organises nothing")
	assert.Contains(t, only(t, k.say(ada, "/export")).Text, "/export xlsx", "the formats are named")
}
