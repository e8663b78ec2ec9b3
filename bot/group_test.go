package bot_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

// reportTopic is a group whose topic 5 is set aside for reports.
func reportTopic(k *talk) bot.Chat {
	club := bot.Chat{ID: -100, Group: true, Title: "Club", Thread: 5}
	m := k.message(ada, club, "/setup topic yes")
	m.Addressed, m.Sender.Admin = true, true
	k.take(m)
	return club
}

// What the bot asks in a group can be answered there, also by one it hears only in
// answer to itself.
func TestWhatIsAskedInAGroupCanBeAnsweredThere(t *testing.T) {
	k := newTalk(t)
	club := bot.Chat{ID: -100, Group: true, Title: "Club"}
	m := k.message(bruno, club, "/ask")
	m.Addressed = true
	r := only(t, k.take(m))
	assert.True(t, r.Asks)
	assert.Equal(t, m.ID, r.ReplyTo)
	m = k.message(bruno, club, "gag 40 m")
	m.Addressed, m.ReplyTo, m.ReplyToBot = true, r.id, true
	r = only(t, k.take(m))
	assert.Contains(t, r.Text, "SEND IT DOWN")

	k.tap(bruno, club, r, "Sent down")
	tap := k.message(bruno, club, "")
	tap.Press, tap.PressID, tap.ReplyTo, tap.ID = "went 1 swam_down", "press", m.ID, r.id
	list := k.take(tap)
	question := list[len(list)-1]
	assert.Contains(t, question.Text, "length")
	assert.True(t, question.Asks)
	assert.Equal(t, m.ID, question.ReplyTo, "opened for the one who is asked")
	m = k.message(bruno, club, "52 cm")
	m.Addressed, m.ReplyTo, m.ReplyToBot = true, question.id, true
	r = only(t, k.take(m))
	assert.True(t, r.Asks, "and the next question")
	require.NotNil(t, k.reports()[0].LengthCm)
	assert.Equal(t, 52.0, *k.reports()[0].LengthCm)
}

func TestQuestionInTheReportTopicIsAnswered(t *testing.T) {
	k := newTalk(t)
	for _, text := range []string{"red snapper 45 m?", "what weight for red snapper at 45 m", "gag from 40 m, how much lead"} {
		m := k.message(bruno, reportTopic(k), text)
		assert.Contains(t, only(t, k.take(m)).Text, "SEND IT DOWN", text)
	}
}

// A mark says only that a report was kept: "?" in answer to the report shows how it was
// read, to the one who wrote it.
func TestMarkCanBeOpened(t *testing.T) {
	k := newTalk(t)
	topic := reportTopic(k)
	m := k.message(bruno, topic, "red snapper 45m 3kg sent down 40 oz")
	require.True(t, k.take(m)[0].React)
	for text, addressed := range map[string]bool{"?": false, "/mine": true} {
		open := k.message(bruno, topic, text)
		open.ReplyTo, open.Addressed = m.ID, addressed
		r := only(t, k.take(open))
		assert.Contains(t, r.Text, "Red snapper, 3 kg, 45 m, sent down with 40 oz")
		assert.NotEmpty(t, r.Buttons)
		open.Update++
		open.Sender = cleo
		for _, r := range k.take(open) {
			assert.NotContains(t, r.Text, "no. 1")
		}
	}
}

// The pin in a group is for all to see: nothing there is called sealed.
func TestPinInAGroupIsNotCalledSealed(t *testing.T) {
	k := newTalk(t)
	club := bot.Chat{ID: -100, Group: true, Title: "Club"}
	m := k.message(bruno, club, "/log gag 40 m sent down 40 oz")
	m.Addressed = true
	done := only(t, k.take(m))
	pin := k.message(bruno, club, "")
	pin.Place, pin.Addressed, pin.ReplyTo, pin.ReplyToBot = &bot.Place{Lat: 27.1, Lon: -83.2}, true, done.id, true
	r := only(t, k.take(pin))
	assert.Contains(t, r.Text, "for all to see")
	assert.NotContains(t, r.Text, "sealed")
	r = only(t, k.tap(bruno, club, r, "Keep it exactly"))
	assert.Contains(t, r.Text, "for all to see")
	assert.NotContains(t, r.Text, "sealed")
}
