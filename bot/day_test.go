package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

// The days of the tests are told on 2 May 2026, noon UTC.
func TestDayAtTheHeadOfACatchDatesIt(t *testing.T) {
	const catch = "gag 40 m 52 cm sent down 40 oz"
	for text, want := range map[string]string{
		"12 Apr " + catch:                                    "2026-04-12",
		"12 Apr: " + catch:                                   "2026-04-12",
		"12 Apr\n" + catch:                                   "2026-04-12",
		"Sun 12 April\n" + catch:                             "2026-04-12",
		"apr 12 " + catch:                                    "2026-04-12",
		"April 12th, 2026: " + catch:                         "2026-04-12",
		"log 12 apr " + catch:                                "2026-04-12",
		"notes from 12 April: " + catch:                      "2026-04-12",
		"log " + catch + " on 12 April":                      "2026-04-12",
		"27/4 " + catch:                                      "2026-04-27",
		"4/27 " + catch:                                      "2026-04-27",
		"27/04/2026 " + catch:                                "2026-04-27",
		"27.04.2026 " + catch:                                "2026-04-27",
		"27-4-26 " + catch:                                   "2026-04-27",
		"2026-03-04 " + catch:                                "2026-03-04",
		"03/03 " + catch:                                     "2026-03-03",
		"12 Nov " + catch:                                    "2025-11-12",
		"2 may 2026 " + catch:                                "today",
		"yesterday: " + catch:                                "2026-05-01",
		"sent down a gag yesterday 40 m 40 oz":               "2026-05-01",
		"the day before yesterday " + catch:                  "2026-04-30",
		"3 days ago " + catch:                                "2026-04-29",
		"12 de abril: mero 40 m devuelto al fondo con 40 oz": "2026-04-12",
		"el 12 abr mero 40 m devuelto al fondo con 40 oz":    "2026-04-12",
		"ayer mero 40 m devuelto al fondo con 40 oz":         "2026-05-01",
		"anteayer mero 40 m devuelto al fondo con 40 oz":     "2026-04-30",
		"hace 3 días mero 40 m devuelto al fondo con 40 oz":  "2026-04-29",
		"12 de março\ncioba 40m devolvida com 40oz":          "2026-03-12",
		"ontem cioba 40m devolvida com 40oz":                 "2026-05-01",
		"le 12 avril : mérou 40m remis au fond avec 40 oz":   "2026-04-12",
		"1er mars mérou 40m remis au fond avec 40 oz":        "2026-03-01",
		"hier mérou 40m remis au fond avec 40 oz":            "2026-05-01",
		"avant-hier mérou 40m remis au fond avec 40 oz":      "2026-04-30",
		"log " + catch:                                       "today",
		"today " + catch:                                     "today",
	} {
		k := newTalk(t)
		r := only(t, k.say(ada, text))
		list := k.reports()
		require.Len(t, list, 1, text)
		assert.Empty(t, list[0].Flags, text)
		assert.NotContains(t, r.Text, "unit", text)
		if want == "today" {
			assert.Equal(t, noon, list[0].CaughtAt.UTC(), text)
			assert.False(t, list[0].DateOnly, text)
			continue
		}
		assert.Equal(t, want, list[0].CaughtAt.Format(time.DateOnly), text)
		assert.True(t, list[0].DateOnly, text)
		assert.Contains(t, r.Text, want, "a misreading shows at once: %s", text)
	}
}

func TestDayThatIsNotSureIsAskedAndNeverGuessed(t *testing.T) {
	for text, want := range map[string]struct {
		says string
		days []string
	}{
		"05/06 gag 40 m kept":       {"I cannot tell which day “05/06” is", []string{"2025-06-05", "2025-05-06"}},
		"3/4 gag 40 m kept":         {"I cannot tell which day “3/4” is", []string{"2026-04-03", "2026-03-04"}},
		"05/04/2026 gag 40 m kept":  {"I cannot tell which day “05/04/2026” is", []string{"2026-04-05"}},
		"12 Aug gag 40 m kept":      {"I cannot tell which day “12 aug” is", []string{"2025-08-12"}},
		"12 Dec 2026 gag 40 m kept": {"is still to come", nil},
		"3 May 2026 gag 40 m kept":  {"is still to come", nil},
		"12 Nov 2023 gag 40 m kept": {"more than a year ago", nil},
		"31 April gag 40 m kept":    {"There is no day “31 april”", nil},
	} {
		k := newTalk(t)
		r := only(t, k.say(ada, text))
		assert.Contains(t, r.Text, want.says, text)
		list := k.reports()
		require.Len(t, list, 1, text)
		assert.Equal(t, []string{bot.DoubtDay}, list[0].Flags, text)
		assert.Equal(t, noon, list[0].CaughtAt.UTC(), text)
		for _, day := range want.days {
			assert.NotEmpty(t, dataOf(t, r, day), text)
		}
	}
}

func TestDoubtfulDayIsSettledByATapOrAnAnswer(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/season new Spring 2026-03-01 2026-09-30")
	r := only(t, k.say(ada, "3/4 2 gag 40 m sent down 40 oz"))
	r = only(t, k.tap(ada, private(ada), r, "2026-03-04"))
	assert.Contains(t, r.Text, "2026-03-04")
	assert.NotContains(t, r.Text, "cannot tell")
	for _, kept := range k.reports() {
		assert.Equal(t, "2026-03-04", kept.CaughtAt.Format(time.DateOnly))
		assert.Empty(t, kept.Flags)
	}
	forged := k.message(ada, private(ada), "")
	forged.Press, forged.PressID = "day 1 2020-01-01", "p"
	k.take(forged)
	assert.Equal(t, "2026-03-04", k.reports()[0].CaughtAt.Format(time.DateOnly), "only a day that was offered")

	k = newTalk(t)
	k.say(ada, "3/4 gag 40 m sent down 40 oz")
	assert.Contains(t, only(t, k.say(ada, "12 Dec 2026")).Text, "still to come")
	assert.Contains(t, only(t, k.say(ada, "3 April")).Text, "2026-04-03")
	assert.Equal(t, "2026-04-03", k.reports()[0].CaughtAt.Format(time.DateOnly))
	assert.Contains(t, only(t, k.say(ada, "gag 40m 3kg")).Text, "SEND IT DOWN", "the talk goes on")
}

func TestDayIsCorrectedByAReplyAndByAnEdit(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/season new Spring 2026-03-01 2026-04-20")
	k.tell(ada, "/season new Summer 2026-04-21 2026-09-30")
	m := k.message(ada, club, "log gag 40 m sent down 40 oz")
	m.Addressed = true
	r := only(t, k.take(m))
	assert.Equal(t, "Summer", k.reports()[0].Season)
	reply := k.message(ada, club, "it was on 12 April")
	reply.ReplyTo, reply.ReplyToBot, reply.Addressed = r.id, true, true
	assert.Contains(t, only(t, k.take(reply)).Text, "2026-04-12")
	assert.Equal(t, "Spring", k.reports()[0].Season, "the season follows the day")
	assert.Equal(t, 40.0, *k.reports()[0].DepthM)
	reply = k.message(ada, club, "it was on 05/04")
	reply.ReplyTo, reply.ReplyToBot, reply.Addressed = r.id, true, true
	assert.Contains(t, only(t, k.take(reply)).Text, "cannot tell which day")
	assert.Equal(t, "2026-04-12", k.reports()[0].CaughtAt.Format(time.DateOnly), "the day before stays")

	k = newTalk(t)
	m = k.message(ada, private(ada), "12 April log gag 40 m sent down 40 oz")
	k.take(m)
	assert.Contains(t, only(t, k.edit(m, "13 April log gag 40 m sent down 40 oz")).Text, "2026-04-13")
	k.edit(m, "log gag 40 m sent down 40 oz")
	assert.Equal(t, noon, k.reports()[0].CaughtAt.UTC(), "no day told any more")
}

// A pasted catch without a deed is answered as a question; the tap keeps its day.
func TestTapKeepsTheDayOfItsQuestion(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "12 Apr gag 40m 3kg"))
	assert.NotContains(t, r.Text, "12")
	k.tap(ada, private(ada), r, "Kept")
	assert.Equal(t, "2026-04-12", k.reports()[0].CaughtAt.Format(time.DateOnly))
}

// Yesterday is that of the place: by the log's clock a morning in the far west is still
// the day before.
func TestYesterdayIsThatOfTheRegion(t *testing.T) {
	for region, want := range map[string]string{"": "2026-05-01", "hawaii": "2026-04-30", "new zealand": "2026-05-01"} {
		k := newTalk(t)
		k.now = time.Date(2026, 5, 2, 6, 0, 0, 0, time.UTC)
		if region != "" {
			k.say(ada, "my region "+region)
		}
		k.say(ada, "log lingcod 40 m kept yesterday")
		assert.Equal(t, want, k.reports()[0].CaughtAt.Format(time.DateOnly), region)
	}
	k := newTalk(t)
	k.say(ada, "my region new zealand")
	k.now = time.Date(2026, 5, 1, 20, 0, 0, 0, time.UTC) // 2 May there
	k.say(ada, "2 May 2026: snapper 40 m kept")
	assert.Equal(t, k.now, k.reports()[0].CaughtAt.UTC(), "today is not still to come")
	assert.NotContains(t, k.reports()[0].Flags, bot.DoubtDay)
}

// Figures that head a line of something else are no dates.
func TestFiguresOfFishAreNoDates(t *testing.T) {
	for _, text := range []string{
		"log 2 may have died", "log 3 set free gag 40 m", "log 5/6 lb gag 40 m kept", "log 2 out of the box", "1/2 lb gag 20 m kept",
		"log 3 gag 40 m kept",
	} {
		k := newTalk(t)
		k.say(ada, text)
		for _, r := range k.reports() {
			assert.Equal(t, noon, r.CaughtAt.UTC(), text)
			assert.NotContains(t, r.Flags, bot.DoubtDay, text)
		}
	}
}

func TestDatedReportInTheReportTopicIsConfirmedInWords(t *testing.T) {
	k := newTalk(t)
	setup := k.message(ada, club, "/setup topic yes")
	setup.Addressed, setup.Chat.Thread = true, 7
	k.take(setup)
	m := k.message(bruno, club, "12 April: gag 40 m sent down 40 oz")
	m.Chat.Thread = 7
	r := only(t, k.take(m))
	assert.False(t, r.React)
	assert.Contains(t, r.Text, "2026-04-12")
}

func TestDayIsToldWhileStepsAreOpen(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "gag 40m 3kg"))
	k.tap(ada, private(ada), r, "Sent down")
	r = only(t, k.say(ada, "12 April"))
	assert.Contains(t, r.Text, "2026-04-12")
	assert.Contains(t, r.Text, "How did it go off", "the step is asked on")
	assert.Contains(t, only(t, k.say(ada, "05/04")).Text, "cannot tell which day")
	assert.Equal(t, "2026-04-12", k.reports()[0].CaughtAt.Format(time.DateOnly))
}
