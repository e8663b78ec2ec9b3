package bot_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
)

func TestAdvicePutsActionAndWeightInTheFirstLine(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m 3kg eyes bulging"))
	t.Log(r.Text)
	assert.Regexp(t, `^SEND IT DOWN: 40 oz, to 45 m\n`, r.Text)
	assert.True(t, r.Headline)
}

func TestTapRecordsTheReportOnce(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m 3kg"))
	replies := k.tap(ada, private(ada), r, "Sent down")
	t.Log(replies[len(replies)-1].Text)
	k.tap(ada, private(ada), r, "Sent down")
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, advisor.Recompressed, list[0].Method)
	assert.Equal(t, []float64{40}, list[0].WeightsOz)
	assert.Equal(t, "Lutjanus campechanus", list[0].Species)
	assert.Equal(t, ada.ID, list[0].Personal.Person)
}

func TestStepsAfterATapAreAskedOneAtATime(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m"))
	r = only(t, k.tap(ada, private(ada), r, "Sent down"))
	r = only(t, k.tap(ada, private(ada), r, "Swam off down"))
	assert.Contains(t, r.Text, "length")
	r = only(t, k.say(ada, "52 cm"))
	assert.Contains(t, r.Text, "tag")
	r = only(t, k.say(ada, "AAD000123"))
	t.Log(r.Text)
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, advisor.SwamDown, list[0].Outcome)
	assert.Equal(t, 52.0, *list[0].LengthCm)
	assert.Equal(t, "AAD000123", list[0].Tag)
}

func TestFollowUpChangesTheLastQuestion(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "gag 20m 3kg")
	r := only(t, k.say(ada, "and 60 m?"))
	assert.Contains(t, r.Text, "40 oz, to 60 m")
	r = only(t, k.say(ada, "20 oz only"))
	assert.Contains(t, r.Text, "20 oz")
	t.Log(r.Text)
	r = only(t, k.say(ada, "why"))
	t.Log(r.Text)
	r = k.say(ada, "how")[0]
	t.Log(r.Text)
}

func TestReportInWordsIsKeptCorrectedAndUndone(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "log gag 40 m 52 cm sent down 40 oz swam off"))
	assert.Contains(t, r.Text, "no. 1")
	m := k.message(ada, private(ada), "it was 45 m")
	m.ReplyTo, m.ReplyToBot = r.id, true
	r = only(t, k.take(m))
	t.Log(r.Text)
	assert.Equal(t, 45.0, *k.reports()[0].DepthM)
	only(t, k.say(ada, "undo"))
	assert.Empty(t, k.reports())
}

func TestEditOfTheMessageCorrectsTheReport(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "log gag 40 m sent down 40 oz")
	k.take(m)
	m.Update, m.Edited, m.Text = 5000, true, "log gag 48 m sent down 40 oz"
	k.take(m)
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, 48.0, *list[0].DepthM)
	assert.Equal(t, "log gag 48 m sent down 40 oz", list[0].Personal.Words)
}

func TestGroupHearsNothingUnlessItSpeaksToTheBot(t *testing.T) {
	k := newTalk(t)
	for _, text := range []string{"great day out", "red snapper 45m 3kg", "log gag 40 m sent down"} {
		assert.Empty(t, k.take(k.message(bruno, club, text)), text)
	}
	assert.Empty(t, k.reports())
	assert.Len(t, k.tell(bruno, "red snapper 45m 3kg"), 1)
}

func TestReportTopicTakesPlainReports(t *testing.T) {
	k := newTalk(t)
	setup := k.message(ada, club, "/setup topic yes")
	setup.Addressed, setup.Chat.Thread = true, 7
	k.take(setup)
	m := k.message(bruno, club, "log gag 40 m sent down 40 oz")
	m.Chat.Thread = 7
	r := only(t, k.take(m))
	assert.True(t, r.React)
	assert.Len(t, k.reports(), 1)
	chatter := k.message(bruno, club, "nice one")
	chatter.Chat.Thread = 7
	assert.Empty(t, k.take(chatter))
}

func TestStrangerIsNoOrganiser(t *testing.T) {
	k := newTalk(t)
	k.tell(bruno, "log gag 40 m sent down 40 oz")
	asked := only(t, k.tell(cleo, "/organiser"))
	assert.Contains(t, asked.Text, "asks")
	only(t, k.tap(cleo, club, asked, "Admins"))
	r := only(t, k.say(cleo, "/export"))
	assert.Nil(t, r.Attach, r.Text)
	k.tap(ada, club, asked, "Admins")
	r = only(t, k.say(cleo, "/export"))
	require.NotNil(t, r.Attach)
	assert.Equal(t, bot.FileExport, r.Attach.Kind)
}

func TestForeignButtonsTouchNothing(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.tell(bruno, "red snapper 45m 3kg"))
	k.tap(cleo, club, r, "Sent down")
	assert.Empty(t, k.reports())
	forged := k.message(cleo, private(cleo), "")
	forged.Press = "undo 1"
	k.take(forged)
	for _, data := range []string{"", "done", "done x", "pick 1 99", "went 1 flew", "share 1 1", "forget 502", "export 1 csv", "agree 1", "place 1 yes", "\x00"} {
		m := k.message(cleo, private(cleo), "")
		m.Press, m.PressID = data, "p"
		k.take(m)
	}
	assert.Empty(t, k.reports())
}

func TestUpdateDeliveredTwiceIsTakenOnce(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "log gag 40 m sent down 40 oz")
	k.take(m)
	assert.Empty(t, k.take(m))
	assert.Len(t, k.reports(), 1)
}

func TestLateQuestionIsAnsweredAsLate(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "gag 40 m 3 kg")
	m.ReceivedAt = m.SentAt.Add(25 * time.Minute)
	assert.Contains(t, only(t, k.take(m)).Text, "late")
}

func TestForgetLeavesTheCountAndNothingElse(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log gag 40 m sent down 40 oz")
	r := only(t, k.say(ada, "/forget"))
	only(t, k.tap(ada, private(ada), r, "Yes"))
	list := k.reports()
	require.Len(t, list, 1)
	assert.Zero(t, list[0].Who)
	assert.Zero(t, list[0].Personal)
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		for _, kind := range []string{"person", "session", "question", "club"} {
			for key := range tx.Keys(kind, "") {
				assert.Fail(t, "state left", "%s %s", kind, key)
			}
		}
		return nil
	}))
}

// An answer that was on its way while its person was forgotten leaves nothing either.
func TestForgettingReachesAnAnswerOnItsWay(t *testing.T) {
	k := newTalk(t)
	k.say(bruno, "gag 40 m 3 kg")
	late, err := k.desk.Take(t.Context(), []bot.Message{k.message(ada, private(ada), "gag 40 m 3 kg")})
	require.NoError(t, err)
	r := only(t, k.say(ada, "/forget"))
	only(t, k.tap(ada, private(ada), r, "Yes"))
	require.NoError(t, k.desk.Settle(t.Context(), []bot.Settled{{Sending: late[0], Message: 900}}))
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		for _, kind := range []string{"question", "answered", "sent"} {
			assert.Len(t, slices.Collect(tx.Keys(kind, "")), 1, "of %s only bruno's is left", kind)
		}
		return nil
	}))
}

func TestRecaptureTellsDaysAndGrowth(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "my recaptures yes")
	k.say(ada, "log gag 40 m 52 cm sent down 40 oz tag AAD000123")
	k.now = k.now.Add(40 * 24 * time.Hour)
	replies := k.say(bruno, "log gag 41 m 55 cm sent down 40 oz tag AAD000123")
	var all string
	for _, r := range replies {
		all += r.Text + "\n"
	}
	t.Log(all)
	assert.Contains(t, all, "40 days")
	assert.Contains(t, all, "3 cm")
	assert.Contains(t, all, "you tagged")
}

func TestAmbiguousNameIsSettledByATap(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "snapper 35m 2kg"))
	t.Log(r.Text)
	require.NotEmpty(t, r.Buttons)
	r2 := only(t, k.tap(ada, private(ada), r, r.Buttons[0][1].Label))
	assert.Equal(t, r.id, r2.Edit)
	assert.NotContains(t, r2.Text, "can also be")
}

// A message whose chat cannot be read any more is set aside; the others of its
// batch are answered, and it does not come again.
func TestBrokenStateOfOneChatDoesNotStopTheOthers(t *testing.T) {
	k := newTalk(t)
	k.say(bruno, "gag 40m 3kg")
	require.NoError(t, k.store.Update(func(tx *store.Tx) error {
		return tx.Put("person", tx.PersonKey(bruno.ID), "no profile at all")
	}))
	broken, whole := k.message(bruno, private(bruno), "gag 50m 3kg"), k.message(ada, private(ada), "gag 50m 3kg")
	replies := k.take(broken, whole)
	require.Len(t, replies, 1)
	assert.Equal(t, private(ada).ID, replies[0].Chat)
	assert.Empty(t, k.take(broken), "it is marked as seen")
}

func TestLessonsAreShortAndDrawn(t *testing.T) {
	for ask, drawing := range map[string]string{"how": "hook", "signs": "signs", "weights": "weights", "when not": "whennot"} {
		k := newTalk(t)
		r := only(t, k.say(ada, ask))
		assert.Less(t, strings.Count(r.Text, "\n")+1, 10, ask)
		require.NotNil(t, r.Attach, ask)
		assert.Equal(t, bot.FileLesson, r.Attach.Kind)
		assert.Equal(t, drawing, r.Attach.Args["name"])
		assert.True(t, r.Attach.Photo)
	}
}

func TestNoHookIsDrawnForAFishThatGoesAtTheTop(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "lingcod 60m 5kg")
	r := only(t, k.say(ada, "how"))
	assert.Contains(t, r.Text, "No weight")
	assert.Nil(t, r.Attach)
}

func TestWhileStepsAreOpenWordsTellMoreOfThatFish(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "gag 40m 3kg"))
	only(t, k.tap(ada, private(ada), r, "Sent down"))
	assert.Contains(t, only(t, k.say(ada, "floated")).Text, "tag")
	assert.Contains(t, only(t, k.say(ada, "52 cm")).Text, "tag", "the size is kept and the tag still asked for")
	only(t, k.say(ada, "AAD000123"))
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, advisor.FloatedOff, list[0].Outcome)
	assert.Equal(t, 52.0, *list[0].LengthCm)
	assert.Equal(t, 3.0, *list[0].WeightKg)
	assert.Equal(t, "AAD000123", list[0].Tag)
}

func TestStepsEndWithTheWordSkipAndGiveWayToANewQuestion(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "gag 40m"))
	only(t, k.tap(ada, private(ada), r, "Sent down"))
	assert.Contains(t, only(t, k.say(ada, "skip")).Text, "length")
	assert.Contains(t, only(t, k.say(ada, "Skip")).Text, "tag")
	assert.Contains(t, only(t, k.say(ada, "red snapper 30m 2kg")).Text, "Red snapper, 2 kg")
	assert.Nil(t, k.reports()[0].WeightKg)
}

func TestKitSaysWhatToCarry(t *testing.T) {
	k := newTalk(t)
	for _, ask := range []string{"/kit 80m 10kg", "kit 260 ft 22lb"} {
		assert.Regexp(t, `^CARRY: 20 oz, 40 oz, 64 oz`, only(t, k.say(ada, ask)).Text, ask)
	}
	assert.Contains(t, only(t, k.say(ada, "kit 40m")).Text, "kit 80m 10kg", "a kit needs the fish too")
	k.say(ada, "gag 150 ft 8 lb")
	assert.Contains(t, only(t, k.say(ada, "/kit 80m 10kg")).Text, "fish to 10 kg from 80 m", "in the units of the question")
}

func TestASpanishDay(t *testing.T) {
	k := newTalk(t)
	ines := bot.Person{ID: 31, Name: "Inés", Language: "es", Admin: true}
	r := only(t, k.say(ines, "pargo rojo 45 m 3 kg ojos saltones"))
	assert.Regexp(t, `^DEVUÉLVELO AL FONDO: 40 oz, a 45 m\nPargo del Golfo, 3 kg`, r.Text)
	k.tap(ines, private(ines), r, "Devuelto al fondo")
	assert.Contains(t, only(t, k.say(ines, "flotó")).Text, "marca")
	assert.Contains(t, only(t, k.say(ines, "mis pesos 20, 40 y 60 oz")).Text, "20, 40 y 60 oz")
	assert.Contains(t, only(t, k.say(ines, "mis unidades pies")).Text, "pies y libras")
	assert.Contains(t, only(t, k.say(ines, "mi idioma français")).Text, "Français")
	assert.Equal(t, advisor.FloatedOff, k.reports()[0].Outcome)
}

func TestEachLineOfADaysCatchKeepsWhatWasDoneWithIt(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "log today:\nred snapper 45 m 3kg sent down 40 oz swam off tag AAD000001\nblack sea bass 30 m 40 cm let go at the top\n2 lingcod 60m kept"))
	t.Log(r.Text)
	list := k.reports()
	require.Len(t, list, 4)
	for i, want := range []struct {
		species string
		method  advisor.Method
		outcome advisor.Outcome
		tag     string
		depth   float64
	}{
		{"Lutjanus campechanus", advisor.Recompressed, advisor.SwamDown, "AAD000001", 45},
		{"Centropristis striata", advisor.Surface, "", "", 30},
		{"Ophiodon elongatus", advisor.Kept, "", "", 60},
		{"Ophiodon elongatus", advisor.Kept, "", "", 60},
	} {
		got := list[i]
		assert.Equal(t, want.species, got.Species)
		assert.Equal(t, want.method, got.Method, want.species)
		assert.Equal(t, want.outcome, got.Outcome, want.species)
		assert.Equal(t, want.tag, got.Tag, want.species)
		assert.Equal(t, want.depth, *got.DepthM, want.species)
		assert.Contains(t, r.Text, words.For("en", false).Depth(want.depth))
	}
	assert.Nil(t, list[1].WeightsOz)
	assert.Contains(t, r.Text, "2 × Lingcod, 60 m, kept")
}

func TestOneDeedHoldsForAllFishOfAMessage(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log 2 gag and a red snapper 40 m, all sent down 40 oz")
	for _, r := range k.reports() {
		assert.Equal(t, advisor.Recompressed, r.Method, r.Species)
		assert.Equal(t, []float64{40}, r.WeightsOz, r.Species)
	}
}

func TestDoubtfulTagIsToldInWords(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "log gag 40 m 50 cm sent down 40 oz tag BBD000777")
	for _, r := range k.say(bruno, "log gag 41 m 30 cm recaptured tag BBD000777 let go at the top") {
		assert.NotContains(t, r.Text, "tag_")
	}
}

func TestSeasonsOfOneClubDoNotOverlapWhileOpen(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/season new Spring 2026-03-01 2026-09-30")
	assert.Contains(t, only(t, k.tell(ada, "/season new Autumn 2026-09-01 2026-12-31")).Text, "close Spring")
	k.tell(ada, "/season close")
	assert.Contains(t, only(t, k.tell(ada, "/season new Autumn 2026-09-01 2026-12-31")).Text, "Autumn: 2026-09-01")
	assert.Contains(t, only(t, k.tell(ada, "/season open Spring")).Text, "close Autumn")
	k.tell(ada, "/season close Autumn")
	assert.Contains(t, only(t, k.tell(ada, "/season open Spring")).Text, "Spring: 2026-03-01 to 2026-09-30, open")
	k.tell(bruno, "/season close Spring")
	k.tell(bruno, "log gag 40 m 52 cm kept")
	list := k.reports()
	assert.Equal(t, "Spring", list[len(list)-1].Season, "a member closes nothing")
}

func TestSharedReportCountsInTheClubsSeason(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/season new Spring 2026-03-01 2026-06-30")
	k.tell(ada, "gag 40 m?") // known to the club
	r := only(t, k.say(ada, "log gag 40 m 52 cm sent down 40 oz"))
	assert.Empty(t, k.reports()[0].Season, "a private chat has no season")
	k.tap(ada, private(ada), r, "Share")
	assert.Equal(t, "Spring", k.reports()[0].Season)
	k.tell(ada, "/season close Spring")
	k.say(ada, "/season")
	r = only(t, k.say(ada, "log gag 41 m 52 cm sent down 40 oz"))
	k.tap(ada, private(ada), r, "Share")
	assert.Empty(t, k.reports()[1].Season, "a closed season takes no more")
	k.tell(ada, "/season open Spring")
	r = only(t, k.say(ada, "log gag 42 m 52 cm sent down 40 oz"))
	k.tap(ada, private(ada), r, "Share")
	assert.Equal(t, "Spring", k.reports()[2].Season, "reopened")
}

func TestEditedFollowUpKeepsItsFish(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "gag 40m 3kg")
	m := k.message(ada, private(ada), "and at 60 m?")
	first := only(t, k.take(m))
	edit := k.message(ada, private(ada), "and at 70 m?")
	edit.ID, edit.Edited = m.ID, true
	r := only(t, k.take(edit))
	assert.Contains(t, r.Text, "Gag grouper, 3 kg, from 70 m")
	assert.Equal(t, first.id, r.Edit)
}

// Right after a report, "no" is about that report, also without answering its
// confirmation; after a question it is about the question.
func TestCorrectionRightAfterAReportIsAboutIt(t *testing.T) {
	for text, check := range map[string]func(catch.Report) bool{
		"no, it was a gag":     func(r catch.Report) bool { return r.Species == "Mycteroperca microlepis" },
		"no, 52 m":             func(r catch.Report) bool { return *r.DepthM == 52 },
		"sorry, 35 m not 53":   func(r catch.Report) bool { return *r.DepthM == 35 },
		"perdón, eran 4 kilos": func(r catch.Report) bool { return *r.WeightKg == 4 },
		"pardon, 5 kg pas 3":   func(r catch.Report) bool { return *r.WeightKg == 5 },
	} {
		k := newTalk(t)
		k.say(ada, "log red snapper 45 m 3 kg sent down 40 oz")
		assert.Regexp(t, `^Corr.* 1\b`, only(t, k.say(ada, text)).Text, text) // in the language of the words
		list := k.reports()
		require.Len(t, list, 1, text)
		assert.True(t, check(list[0]), text)
		assert.Equal(t, advisor.Recompressed, list[0].Method, text)
	}
	k := newTalk(t)
	k.say(ada, "log red snapper 45 m 3 kg sent down 40 oz")
	k.say(ada, "red grouper 30m 2kg")
	assert.Contains(t, only(t, k.say(ada, "no, 52 m")).Text, "from 52 m", "the question since")
	assert.Equal(t, 45.0, *k.reports()[0].DepthM)
	k.say(ada, "log red snapper 45 m 3 kg sent down 40 oz")
	assert.NotContains(t, only(t, k.say(ada, "60 m 2 kg")).Text, "Corrected", "a fish of its own")
	k.now = k.now.Add(3 * time.Hour) // longer than talk.CorrectionLasts
	assert.NotContains(t, only(t, k.say(ada, "no, 52 m")).Text, "Corrected", "long after")
}

// What a club carries is what its members most likely have aboard, until they say so.
func TestWeightsOfTheClubHoldInPrivateToo(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/setup weights 16 32 48 oz") // ada is an admin
	k.tell(bruno, "gag 40 m?")
	assert.Contains(t, only(t, k.say(bruno, "/settings")).Text, "16")
	assert.Contains(t, only(t, k.say(bruno, "red snapper 60 m 5 kg")).Text, "48 oz")
	k.say(bruno, "my weights 20 40 oz")
	assert.Contains(t, only(t, k.say(bruno, "red snapper 60 m 5 kg")).Text, "40 oz")
}

// A step is passed over in the words that come to hand, in the reader's language or in English.
func TestStepIsPassedOverInAnyWord(t *testing.T) {
	for language, list := range map[string][]string{"en": {"skip", "Next.", "no"}, "es": {"saltar", "omitir", "skip"}, "pt": {"pular", "não"}, "fr": {"passe", "non"}} {
		for _, word := range list {
			k := newTalk(t)
			who := ada
			who.Language = language
			advice := only(t, k.take(k.message(who, private(who), "gag 40 m 3 kg")))
			asked := only(t, k.tapAs(who, advice))
			next := only(t, k.take(k.message(who, private(who), word)))
			assert.NotEqual(t, lastLine(asked.Text), lastLine(next.Text), "%s %s", language, word)
			assert.Contains(t, next.Text, "1", "still of that report: %s %s", language, word)
		}
	}
}

func lastLine(text string) string { return text[strings.LastIndex(text, "\n")+1:] }

// tapAs taps the first button of an answer.
func (k *talk) tapAs(who bot.Person, under delivered) []delivered {
	return k.tap(who, private(who), under, under.Buttons[0][0].Label)
}

// A command that is spoken in another language may have a slash before it.
func TestSlashBeforeASpokenCommand(t *testing.T) {
	k := newTalk(t)
	for slash, plain := range map[string]string{"/resumen": "/summary", "/ayuda": "/help", "/aide": "/help", "/regras": "/rules"} {
		assert.Equal(t, only(t, k.say(ada, plain)).Text, only(t, k.say(ada, slash)).Text, slash)
	}
}

func TestFigureThatMayBeTheDepthIsAskedAboutAndAUnitAnswersIt(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ada, "gag 45 3kg")).Text, "“45” of what?")
	assert.Contains(t, only(t, k.say(ada, "ft")).Text, "Gag grouper, 3 kg, from 45 ft", "45 feet")
	assert.NotContains(t, only(t, k.say(ada, "red snapper 40 m 3kg, 16 miles out")).Text, "of what", "the depth is told")
}

// What a club chose holds in its chat and for its members in private, until they choose for
// themselves; the answer names the agency and the year of its page.
func TestTheClubsPracticeIsFollowedAndNamed(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.tell(bruno, "/setup practice pirsa")).Text, "Only an admin")
	assert.Contains(t, only(t, k.tell(ada, "/setup practice pirsa")).Text, "South Australia, 2024")
	shallow := "gag 12 m 5 kg swimming strongly"
	answer := only(t, k.tell(bruno, shallow)).Text
	assert.Contains(t, answer, "SEND IT DOWN")
	assert.Contains(t, answer, "As PIRSA advises (2024)")
	assert.Contains(t, only(t, k.say(bruno, shallow)).Text, "As PIRSA advises (2024)")
	assert.Contains(t, only(t, k.say(bruno, "my practice own")).Text, "our own")
	assert.Contains(t, only(t, k.say(bruno, "red grouper 12 m 5 kg swimming strongly")).Text, "LET IT GO AT THE TOP")
	assert.Contains(t, only(t, k.say(bruno, "my practice nonesuch")).Text, "pirsa")
	assert.Contains(t, only(t, k.tell(ada, "/setup practice nonesuch")).Text, "/setup practice fwc", "what an admin types")
}

// A lesson asked about a fish that is told says first what to do with that fish.
func TestALessonOnAFishAnswersItFirst(t *testing.T) {
	k := newTalk(t)
	r := k.say(ada, "red snapper 40m eyes bulging should i poke it")
	require.Len(t, r, 2)
	assert.Contains(t, r[0].Text, "SEND IT DOWN")
	assert.Contains(t, r[1].Text, "needle")
	assert.Len(t, k.say(ada, "should i vent fish"), 1)
}

// Who is hurt comes first; the fish told in the same breath is not lost.
func TestAFishToldByWhoIsHurtIsNotLost(t *testing.T) {
	k := newTalk(t)
	r := k.say(ada, "hook in my thumb. sent the gag from 50 m down with 20 oz, swam off")
	require.Len(t, r, 2)
	assert.Contains(t, r[0].Text, "SOMEBODY HURT")
	assert.Len(t, k.reports(), 1)
	assert.Len(t, k.say(ada, "hook in my thumb"), 1)
}

// Where custom is round in metres and kilograms, it is told round in feet and pounds too.
func TestCustomIsRoundInFeetAndPounds(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ada, "/weights")).Text, "To about 30 m: 20 oz. Deeper: 40 oz. Any fish over about 7 kg")
	k.say(ada, "my units feet")
	assert.Contains(t, only(t, k.say(ada, "/weights")).Text, "To about 100 ft: 20 oz. Deeper: 40 oz. Any fish over about 15 lb")
}
