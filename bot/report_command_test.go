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
	require.Len(t, replies, 3)
	for i, form := range []string{"picture", "sheet", "page"} {
		assert.Equal(t, form == "picture", replies[i].Attach.Photo)
		require.NotNil(t, replies[i].Attach)
		assert.Equal(t, bot.FileReport, replies[i].Attach.Kind)
		assert.Equal(t, form, replies[i].Attach.Args["form"])
		assert.Equal(t, "Spring", replies[i].Attach.Args["season"])
	}
	assert.Nil(t, only(t, k.say(cleo, "/report")).Attach, "cleo organises nothing")
	assert.Contains(t, only(t, k.say(ada, "/export")).Text, "/export xlsx", "the formats are named")
}

// An archive is made to be passed on: what others may do with it is asked once and stays
// with the seasons.
func TestExportAsksForTheLicenceOnce(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/organiser")
	k.tell(admin, "/season new Spring 2026-03-01 2026-09-30")
	k.tell(admin, "log gag 40 m sent down 40 oz")

	asked := only(t, k.say(ada, "/export dwca"))
	assert.Nil(t, asked.Attach)
	require.Len(t, asked.Buttons, 3)
	assert.NotNil(t, only(t, k.say(ada, "/export csv")).Attach, "a table for the club's own eyes needs none")
	data := asked.Buttons[1][0].Data
	assert.LessOrEqual(t, len(data), 64)
	refusal(t, k.forge(cleo, private(cleo), asked.id, data), data)
	sent := k.forge(ada, private(ada), asked.id, data)
	file := sent[len(sent)-1].Attach
	require.NotNil(t, file)
	assert.Equal(t, "cc-by", file.Args["license"])
	assert.Equal(t, "dwca", file.Args["format"])
	again := only(t, k.say(ada, "/export all"))
	require.NotNil(t, again.Attach, "it is not asked again")
}
