package bot_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
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
	r := only(t, k.say(ada, "3 gag 50m 4kg"))
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

func TestThanksInPrivateAreAnswered(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ada, "thanks!")).Text, "Any time")
	assert.Contains(t, only(t, k.say(ada, "lovely day out here")).Text, "Send me the fish")
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
		if r.Chat == catch.ChatID(gilles.ID) {
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
	assert.Nil(t, only(t, k.say(ada, "/export")).Attach, "what she told in the group is in the group's log alone")
	k.say(ada, "log scamp 70 m sent down 40 oz")
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

func TestAnswerToOnesOwnMarkedReportCorrectsIt(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/setup topic")
	m := k.message(bruno, club, "red grouper 60 m 5kg sent down 40 oz swam off")
	require.True(t, only(t, k.take(m)).React)
	answer := func(who bot.Person, text string) []delivered {
		a := k.message(who, club, text)
		a.ReplyTo = m.ID
		return k.take(a)
	}
	assert.Contains(t, only(t, answer(bruno, "no, 6 kg")).Text, "Corrected no. 1: Red grouper, 6 kg")
	assert.Empty(t, answer(cleo, "no, 9 kg"), "another person's")
	assert.Empty(t, answer(bruno, "thanks all"))
	answer(bruno, "gag 40 m 3kg sent down 40 oz swam off")
	list := k.reports()
	require.Len(t, list, 2, "a whole report is a new one")
	assert.Equal(t, 6.0, *list[0].WeightKg)
}

func TestTagIsJudgedAgainstWhatAddsUp(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log gag 42 m 58 cm sent down 40 oz tag AAD000123")
	k.now = k.now.Add(48 * time.Hour)
	k.say(bruno, "log red grouper 45 m 57 cm sent down 40 oz tag AAD000123")
	k.say(cleo, "log gag 42 m 30 cm sent down 40 oz tag AAD000123")
	k.say(bruno, "log gag 42 m 60 cm sent down 40 oz tag AAD000123")
	list := k.reports()
	require.Len(t, list, 4)
	assert.Equal(t, []string{"tag_species"}, list[1].Flags)
	assert.Equal(t, []string{"tag_shrank"}, list[2].Flags)
	assert.Empty(t, list[3].Flags)
}

func TestDelaysAreToldInWholeMinutesAndHours(t *testing.T) {
	k := newTalk(t)
	late := func(by time.Duration) string {
		m := k.message(ada, private(ada), "gag 40m 3kg")
		m.SentAt = m.ReceivedAt.Add(-by)
		return only(t, k.take(m)).Text
	}
	assert.Contains(t, late(4000*time.Second), "67 min late")
	assert.Contains(t, late(5*time.Hour), "5 h late")
}

func TestTopicForReportsSaysWhatTheBotCanSee(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	assert.Contains(t, only(t, k.tell(admin, "/setup topic yes")).Text, "privacy mode")
	assert.NotContains(t, only(t, k.tell(admin, "/setup topic no")).Text, "privacy mode")
}

func TestAnswerIsInTheLanguageOfTheWordsWhereNothingElseTells(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "pargo rojo 45 m 3 kg ojos saltones"))
	assert.Contains(t, r.Text, "DEVUÉLVELO AL FONDO")
	assert.Contains(t, only(t, k.tap(ada, private(ada), r, "Devuelto")).Text, "Anotado", "its buttons too")
	assert.Contains(t, only(t, k.say(ada, "red snapper 45m 3kg eyes bulging")).Text, "SEND IT DOWN")

	english, french := bruno, cleo
	english.Language, french.Language = "en-GB", "fr"
	assert.Contains(t, only(t, k.say(english, "vivaneau rouge 45 m 3 kg yeux exorbités")).Text, "RENVOIE-LE")
	assert.Contains(t, only(t, k.say(french, "red snapper 45m 3kg eyes bulging")).Text, "RENVOIE-LE")
	k.say(english, "my language en")
	assert.Contains(t, only(t, k.say(english, "vivaneau rouge 45 m 3 kg yeux exorbités")).Text, "SEND IT DOWN")
}

func TestTapOnAMessageOutOfReachKeepsTheTopicOfItsQuestion(t *testing.T) {
	k := newTalk(t)
	m := k.message(bruno, club, "gag 40m 3kg")
	m.Addressed, m.Chat.Thread = true, 12
	r := only(t, k.take(m))
	k.tap(bruno, club, r, "Sent down") // in no topic, as an old message comes
	require.Len(t, k.reports(), 1)
	assert.Equal(t, 12, k.reports()[0].Thread)
}

func TestUndoOfSeveralNamesThemAll(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "2 gag 50m 2kg, 4kg"))
	r = only(t, k.tap(ada, private(ada), r, "Sent down"))
	assert.Contains(t, only(t, k.tap(ada, private(ada), r, "Take back")).Text, "no. 1 to 2 count no more")
}

func TestFollowUpNamesTheFishInItsLanguage(t *testing.T) {
	k := newTalk(t)
	person := ada
	person.Language = "es"
	k.say(person, "mero 90 m 20 kg")
	r := only(t, k.say(person, "¿y a 30 m?"))
	assert.Contains(t, r.Text, "30 m")
	assert.NotContains(t, r.Text, "red grouper")
	assert.Contains(t, only(t, k.say(person, "why")).Text, "Por qué")
}

func TestBareLogAsksWhatWasDone(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "gag 40m 3kg")
	r := only(t, k.say(ada, "/log"))
	assert.Empty(t, k.reports())
	k.tap(ada, private(ada), r, "Sent down")
	assert.Len(t, k.reports(), 1)
	assert.Empty(t, only(t, k.say(ada, "/log")).Buttons, "that fish is told")
	assert.Len(t, k.reports(), 1)
}

func TestFollowUpInAnswerToAnothersAdviceIsAboutItsFish(t *testing.T) {
	k := newTalk(t)
	m := k.message(bruno, club, "lingcod 40m 3kg")
	m.Addressed = true
	r := only(t, k.take(m))
	f := k.message(cleo, club, "and 60 m?")
	f.Addressed, f.ReplyTo, f.ReplyToBot = true, r.id, true
	assert.Contains(t, only(t, k.take(f)).Text, "Lingcod, 3 kg, from 60 m")
}

func TestCorrectionOfAnothersReportIsRefusedInALine(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.tell(bruno, "log gag 40 m 50 cm sent down 40 oz"))
	f := k.message(cleo, club, "it was 99 cm")
	f.Addressed, f.ReplyTo, f.ReplyToBot = true, r.id, true
	assert.Contains(t, only(t, k.take(f)).Text, "somebody else")
	assert.Equal(t, 50.0, *k.reports()[0].LengthCm)
}

func TestSeasonOfTheClubIsShownInPrivate(t *testing.T) {
	k := newTalk(t)
	admin := ada
	admin.Admin = true
	k.tell(admin, "/season new Autumn 2026-01-01 2026-12-31")
	assert.Contains(t, only(t, k.say(ada, "/season")).Text, "Autumn")
	assert.NotContains(t, only(t, k.say(cleo, "/season")).Text, "Autumn")
	assert.Contains(t, only(t, k.tell(admin, "/season new "+strings.Repeat("A", 100)+" 2027-01-01 2027-12-31")).Text, "Write:")
}
