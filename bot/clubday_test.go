package bot_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/store"
)

// What a day in a club with eight people showed, one case a test.

func TestForgedTapKeepsNoUnknownMethod(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m 3kg"))
	for _, forged := range []string{"nonsense", "", "vented", "recompressed 2"} {
		m := k.message(ada, private(ada), "")
		m.Press, m.PressID, m.ID = strings.TrimSpace("done 1 "+forged), "press", r.id
		k.take(m)
	}
	assert.Empty(t, k.reports())
}

func TestTapForSeveralFishSpeaksOfAllOfThem(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "3 gag 50m 2kg, 4kg and 5kg"))
	r = only(t, k.tap(ada, private(ada), r, "Sent down"))
	assert.Contains(t, r.Text, "Kept 3 fish as no. 1 to 3")
	r = only(t, k.tap(ada, private(ada), r, "Floated"))
	assert.NotContains(t, r.Text, "tag")
	for _, kept := range k.reports() {
		assert.Equal(t, advisor.FloatedOff, kept.Outcome, kept.Number)
	}
	k.tap(ada, private(ada), r, "Take back")
	assert.Empty(t, k.reports())
}

func TestWordsAfterATapForSeveralFishAreAboutAllOfThem(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "2 gag 50m 2kg, 4kg"))
	k.tap(ada, private(ada), r, "Sent down")
	k.say(ada, "swam off")
	list := k.reports()
	require.Len(t, list, 2)
	for _, kept := range list {
		assert.Equal(t, advisor.SwamDown, kept.Outcome, kept.Number)
	}
}

func TestFloatedAfterLetGoAtTheTopIsHowItWent(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log gag 40m 3kg let go at the top, floated")
	k.say(ada, "log gag floating 40m 3kg, sent down 40 oz")
	list := k.reports()
	require.Len(t, list, 2)
	assert.Equal(t, advisor.FloatedOff, list[0].Outcome)
	assert.Empty(t, list[1].Outcome, "it floated before it was sent down")
}

func TestEditToFewerOrMoreFishSaysWhatStands(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "log 3 gag 40m sent down 40 oz")
	k.take(m)
	edit := func(text string) delivered {
		m.Update++
		m.Update, m.Edited, m.Text = m.Update+7000, true, text
		return only(t, k.take(m))
	}
	assert.Contains(t, edit("log 2 gag 42m sent down 40 oz").Text, "no. 1 to 2: 2 ×")
	assert.Contains(t, edit("log 4 gag 43m sent down 40 oz").Text, "4 ×")
	assert.Len(t, k.reports(), 4)
	assert.Contains(t, edit("never mind").Text, "Kept 4 fish")
	for _, kept := range k.reports() {
		assert.Equal(t, 43.0, *kept.DepthM)
	}
}

func TestThanksForAConfirmationCorrectsNothing(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.tell(bruno, "log gag 40 m sent down 40 oz"))
	m := k.message(bruno, club, "thanks mate!")
	m.Addressed, m.ReplyTo, m.ReplyToBot = true, r.id, true
	assert.Empty(t, k.take(m))
}

func TestDoubtsOutliveACorrectionAndAreAskedOfEveryFish(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "log gag 40m 52cm sent down 40 oz; gag 40m 30cm 3kg sent down 40 oz"))
	require.Len(t, k.reports(), 2)
	assert.Contains(t, r.Text, "do not fit")
	r = only(t, k.tap(ada, private(ada), r, "Figures are right"))
	assert.NotContains(t, r.Text, "do not fit")
	m := k.message(ada, private(ada), "it was 42 m")
	m.ReplyTo, m.ReplyToBot = r.id, true
	assert.NotContains(t, only(t, k.take(m)).Text, "do not fit")
	assert.Equal(t, []string{bot.DoubtSizeForLength, bot.Confirmed}, k.reports()[1].Flags)
}

func TestCorrectedTagIsLookedUp(t *testing.T) {
	k := newTalk(t)
	k.say(bruno, "log gag 40 m 52 cm sent down 40 oz tag AAD000500")
	r := only(t, k.say(ada, "log gag 41 m 55 cm sent down 40 oz tag AAD000501"))
	m := k.message(ada, private(ada), "tag AAD000500")
	m.ReplyTo, m.ReplyToBot = r.id, true
	said := ""
	for _, reply := range k.take(m) {
		said += reply.Text + "\n"
	}
	assert.Contains(t, said, "grew 3 cm")
	assert.True(t, k.reports()[1].Recapture)
}

func TestTaggerHearsInTheirOwnLanguage(t *testing.T) {
	k := newTalk(t)
	gilles := bot.Person{ID: 520, Name: "Gilles", Language: "fr"}
	k.say(gilles, "/my recaptures yes")
	k.say(gilles, "log gag 40 m 52 cm sent down 40 oz tag AAD000500")
	for _, r := range k.say(ada, "log gag 41 m 55 cm sent down 40 oz tag AAD000500") {
		if r.Chat == gilles.ID {
			assert.Contains(t, r.Text, "Le poisson")
			return
		}
	}
	t.Fatal("the tagger heard nothing")
}

func TestReportTopicLeavesTalkAlone(t *testing.T) {
	k := newTalk(t)
	setup := k.message(ada, club, "/setup topic yes")
	setup.Addressed, setup.Chat.Thread, setup.Sender.Admin = true, 7, true
	k.take(setup)
	for _, text := range []string{"swam off", "bajó nadando jaja", "released!", "swam down lol"} {
		m := k.message(bruno, club, text)
		m.Chat.Thread = 7
		assert.Empty(t, k.take(m), text)
	}
	assert.Empty(t, k.reports())
}

func TestMineInAGroupKeepsPrivateReportsPrivate(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log scamp 70 m sent down 40 oz")
	k.tell(ada, "log gag 40 m sent down 40 oz")
	r := only(t, k.tell(ada, "/mine"))
	assert.Contains(t, r.Text, "Gag")
	assert.NotContains(t, r.Text, "Scamp")
}

func TestRulesAndRegionOfTheClubHoldInPrivate(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/setup region hawaii")
	k.tell(admin, "/rule gag; 61 cm; one a day; harbour office; 2026-05-01")
	k.tell(bruno, "/help")
	assert.Contains(t, only(t, k.say(bruno, "gag 40m 50 cm")).Text, "noted minimum of 61 cm (harbour office, checked 2026-05-01)")
	assert.Contains(t, only(t, k.say(bruno, "/settings")).Text, "awaii")
	assert.NotContains(t, only(t, k.say(cleo, "gag 40m 50 cm")).Text, "61 cm")
}

func TestOrganisersCanBeTakenTheRoleByAnAdminOnly(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/organiser")
	k.tell(admin, "log gag 40 m sent down 40 oz")
	k.tell(bruno, "/organiser none")
	clubs := only(t, k.say(ada, "/export")).Attach.Args["chat"]
	k.tell(admin, "/organiser none")
	r := only(t, k.say(cleo, "/export"))
	assert.Nil(t, r.Attach)
	own := only(t, k.say(ada, "/export")).Attach
	require.NotNil(t, own)
	assert.NotEqual(t, clubs, own.Args["chat"], "only the log of her own private chat")
}

func TestSeasonTakesInReportsOfItsDaysAndSharedOnes(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "log gag 40 m sent down 40 oz")
	day := k.now.Format("2006-01-02")
	k.tell(admin, "/season new Autumn "+day+" "+day)
	r := only(t, k.say(ada, "log scamp 70 m sent down 40 oz"))
	k.tap(ada, private(ada), r, "Share")
	list := k.reports()
	require.Len(t, list, 2)
	assert.Equal(t, "Autumn", list[0].Season)
	assert.Equal(t, "Autumn", list[1].Season)
}

func TestChatsAreNamedForTheLogAndPrivateOnesAreNot(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "log gag 40 m sent down 40 oz")
	k.say(ada, "log scamp 70 m sent down 40 oz")
	list := k.reports()
	require.Len(t, list, 2)
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		name, private := bot.ChatNames(tx)(list[0].Chat)
		assert.Equal(t, club.Title, name)
		assert.False(t, private)
		_, private = bot.ChatNames(tx)(list[1].Chat)
		assert.True(t, private)
		_, private = bot.ChatNames(tx)(99)
		assert.True(t, private, "nothing is known of it")
		return nil
	}))
}
