package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/words"
	"deepward/store/season"
)

// cards are the season cards among replies.
func cards(replies []delivered) (list []delivered) {
	for _, r := range replies {
		if r.Attach != nil && r.Attach.Kind == bot.FileSeasonCard {
			list = append(list, r)
		}
	}
	return list
}

// One message shows the season grow: pinned once, then written in its place.
func TestSeasonCardIsOneMessageThatFollowsTheReports(t *testing.T) {
	k := newTalk(t)
	assert.Empty(t, cards(k.tell(bruno, "/season card")), "an admin's")
	k.tell(ada, "/season new Spring 2026-01-01 2026-12-31")
	first := cards(k.tell(ada, "/season card"))
	require.Len(t, first, 1)
	assert.True(t, first[0].Pin)
	assert.Equal(t, "Spring", first[0].Attach.Args["season"])
	assert.Empty(t, cards(k.tell(bruno, "log gag 40 m 52 cm sent down 40 oz swam off")), "it rests for a minute")
	k.now = k.now.Add(2 * time.Minute)
	then := cards(k.tell(bruno, "gag 40 m?"))
	require.Len(t, then, 1, "what came meanwhile")
	assert.Equal(t, first[0].id, then[0].Edit)
	k.now = k.now.Add(2 * time.Minute)
	assert.Empty(t, cards(k.tell(bruno, "gag 40 m?")), "nothing new")
	k.now = k.now.Add(10 * 24 * time.Hour)
	assert.Len(t, cards(k.tell(bruno, "log gag 41 m 52 cm sent down 40 oz swam off")), 1, "no weekly line unasked")
	k.tell(ada, "/season card off")
	k.now = k.now.Add(time.Hour)
	assert.Empty(t, cards(k.tell(bruno, "log gag 42 m 52 cm sent down 40 oz swam off")))
}

func TestWeeklyLineIsToldOnceAWeek(t *testing.T) {
	k := newTalk(t)
	card := cards(k.tell(ada, "/season card weekly"))
	require.Len(t, card, 1)
	told := 0
	for range 30 { // days
		k.now = k.now.Add(24 * time.Hour)
		for _, r := range cards(k.tell(bruno, "log gag 41 m 52 cm sent down 40 oz swam off")) {
			if r.Edit == 0 {
				told++
			}
		}
	}
	assert.Equal(t, 4, told)
}

// A report from private changes the card of the club it counts for.
func TestSeasonCardFollowsReportsFromPrivate(t *testing.T) {
	k := newTalk(t)
	in := only(t, k.say(bruno, "/start "+k.link()))
	k.tap(bruno, private(bruno), in, "Count my reports")
	k.tell(ada, "/season card")
	k.now = k.now.Add(time.Hour)
	assert.Len(t, cards(k.say(bruno, "log gag 41 m 52 cm sent down 40 oz swam off")), 1)
}

func TestSeasonCardSaysReportsSentDownGainAndSeenAgain(t *testing.T) {
	found := season.Findings{
		Reports: 12, Released: 10, Methods: map[advisor.Method]season.Count{advisor.Recompressed: {Fish: 8}},
		Alive: season.Alive{Fish: 8, More: 3, Low: 1, High: 5},
	}
	found.Tags.Counted.Methods = map[advisor.Method]season.Share{advisor.Recompressed: {X: 2, N: 9}}
	text := bot.SeasonCardText(words.For("en", false), "Spring", found)
	for _, want := range []string{"Spring so far", "12 fish in the log", "Sent down: 8 of 10 released", "about 3 more fish alive", "seen again: 2 of 9"} {
		assert.Contains(t, text, want)
	}
}

// A card follows its group to another number, whatever was said there first.
func TestSeasonCardFollowsItsGroup(t *testing.T) {
	k := newTalk(t)
	require.Len(t, cards(k.tell(ada, "/season card")), 1)
	moved := bot.Chat{ID: -1009, Group: true, Title: club.Title}
	k.take(bot.Message{Chat: club, Event: bot.EventMoved, MovedTo: moved.ID, ReceivedAt: k.now, SentAt: k.now})
	say := func(text string) []delivered {
		m := k.message(bruno, moved, text)
		m.Addressed = true
		return cards(k.take(m))
	}
	assert.Empty(t, say("log gag 40 m 52 cm sent down 40 oz swam off"), "it rests for a minute")
	k.now = k.now.Add(2 * time.Minute)
	there := say("gag 40 m?")
	require.Len(t, there, 1)
	assert.Equal(t, moved.ID, there[0].Chat)
	assert.Zero(t, there[0].Edit, "there it is a message of its own")
	assert.True(t, there[0].Pin)
	k.now = k.now.Add(2 * time.Minute)
	then := say("log gag 41 m 52 cm sent down 40 oz swam off")
	require.Len(t, then, 1)
	assert.Equal(t, there[0].id, then[0].Edit)
}

// One that never arrived is put up anew.
func TestSeasonCardThatNeverArrivedIsPutUpAnew(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, club, "/season card")
	m.Addressed = true
	_, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	k.now = k.now.Add(2 * time.Minute)
	assert.Empty(t, cards(k.tell(bruno, "log gag 40 m 52 cm sent down 40 oz swam off")), "it is on its way")
	k.now = k.now.Add(time.Hour)
	again := cards(k.tell(bruno, "log gag 41 m 52 cm sent down 40 oz swam off"))
	require.Len(t, again, 1)
	assert.Zero(t, again[0].Edit)
	k.now = k.now.Add(2 * time.Minute)
	assert.Equal(t, again[0].id, cards(k.tell(bruno, "log gag 42 m 52 cm sent down 40 oz swam off"))[0].Edit)
}
