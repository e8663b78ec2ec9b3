package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is heard once is kept, and no words are read a second time.

func TestKitIsToldInOwnWords(t *testing.T) {
	for text, want := range map[string]string{
		"pack list please for a 90 m trip, fish of 10 kg":                        "10 kg from 90 m",
		"pack list please for a 300 ft trip, fish of 20 lb":                      "20 lb from 300 ft",
		"dis voir ce que je dois embarquer pour 100 m demain, poissons de 10 kg": "10 kg",
		"what should I have on the boat before saturday, gear wise":              "kit 80m 10kg",
	} {
		k := newTalk(t)
		assert.Contains(t, only(t, k.say(ada, text)).Text, want, text)
	}
}

func TestInlineQuestionIsHeardAsAnyOther(t *testing.T) {
	for text, want := range map[string]string{
		"gag 45m 3kg eyes popping": "Gag grouper, 3 kg, from 45 m", "what do i do with a 3 kilo gag from forty five metres": "Gag grouper, 3 kg, from 45 m",
		"mero 45 m 3 kg": "Red grouper", "garoupa 45 m 3 kg": "Dusky grouper", "mérou 45 m 3 kg": "Dusky grouper",
	} {
		k := newTalk(t)
		m := k.message(ada, private(ada), "")
		m.Inline, m.InlineID = text, "88"
		r := only(t, k.take(m))
		assert.Contains(t, r.Text, want, text)
		assert.NotEmpty(t, r.Title, text)
	}
	k := newTalk(t)
	m := k.message(ada, private(ada), "")
	m.Inline, m.InlineID = "see you at the ramp", "88"
	assert.Empty(t, only(t, k.take(m)).Text)
}

func TestTappedQuestionKeepsTheDayOfItsWords(t *testing.T) {
	k := newTalk(t)
	answer := only(t, k.say(ada, "yesterday gag 45m 3kg"))
	k.tap(ada, private(ada), answer, "Sent down")
	require.Len(t, k.reports(), 1)
	assert.Equal(t, "2026-05-01", k.reports()[0].CaughtAt.Format(time.DateOnly))
}

func TestEditOfATappedQuestionChangesItsReport(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "gag 45m 3kg")
	answer := only(t, k.take(m))
	k.tap(ada, private(ada), answer, "Sent down")
	m.Update, m.Edited, m.Text = 9000, true, "2 gag 48m 3kg eyes popping"
	k.take(m)
	list := k.reports()
	require.Len(t, list, 2)
	for _, r := range list {
		assert.InDelta(t, 48, *r.DepthM, 0.01)
		assert.Len(t, r.Signs, 1)
	}
}
