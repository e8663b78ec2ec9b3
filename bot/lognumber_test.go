package bot_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

// Each log begins with 1, and what the chat tells is what the log has: in what was kept, in
// corrections by number, in lists and for taking back.
func TestReportsHaveTheNumberOfTheirLogEverywhere(t *testing.T) {
	k := newTalk(t)
	other := bot.Chat{ID: -901, Group: true, Title: "Marl Reef"}
	for range 3 { // of another club
		m := k.message(bruno, other, "log gag grouper 50 m 4 kg sent down")
		m.Addressed = true
		k.take(m)
	}
	k.tell(cleo, "log gag grouper 50 m 4 kg sent down")
	kept := only(t, k.say(ada, "log red snapper 40 m 3 kg sent down"))
	assert.Contains(t, kept.Text, "no. 1:", "her own log")
	k.tell(ada, "log red grouper 30 m 5 kg vented")

	assert.Contains(t, only(t, k.tell(ada, "no. 2 was 45 m")).Text, "no. 2")
	for _, r := range k.reports() {
		if r.Personal.Person == ada.ID {
			assert.Equal(t, map[bool]float64{true: 45, false: 40}[strings.Contains(r.Personal.Words, "grouper")], *r.DepthM, r.Personal.Words)
		}
	}
	mine := only(t, k.say(ada, "/mine"))
	assert.Contains(t, mine.Text, "2 (Skerrow Point)")
	assert.Contains(t, mine.Text, "1 (a private chat)")
	assert.Contains(t, only(t, k.tell(ada, "/mine")).Text, "2 · ", "in the group its own are listed alone")

	back := only(t, k.tell(ada, "/undo 1"))
	assert.NotContains(t, back.Text, "no. 1 counts", "that number is another person's here")
	assert.Contains(t, only(t, k.say(ada, "undo 2")).Text, "no. 2", "told in the group, taken back from the private chat")
	assert.Contains(t, only(t, k.say(ada, "/undo 1")).Text, "no. 1")
	standing := 0
	for _, r := range k.reports() {
		if r.Personal.Person == ada.ID {
			standing++
		}
	}
	assert.Zero(t, standing)
}

// Where reports of two logs have one number, the command asks which is meant.
func TestUndoAsksWhichOfTwoOfOneNumber(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "log red grouper 30 m 5 kg vented")
	k.say(ada, "log red snapper 40 m 3 kg sent down")
	asked := only(t, k.say(ada, "/undo 1"))
	require.Len(t, asked.Buttons, 2)
	assert.Contains(t, fmt.Sprint(asked.Buttons), "1 (Skerrow Point): ")
	assert.Contains(t, only(t, k.tap(ada, private(ada), asked, "1 (a private chat)")).Text, "no. 1")
	left := k.reports()
	require.Len(t, left, 1)
	assert.Equal(t, "Epinephelus morio", left[0].Species)
}

// A report that is shared has the number of the club's log from then on.
func TestSharedReportHasTheNumberOfTheClub(t *testing.T) {
	k := newTalk(t)
	for range 2 {
		k.tell(bruno, "log gag grouper 50 m 4 kg sent down")
	}
	k.tell(ada, "/ask red snapper 40 m")
	kept := only(t, k.say(ada, "log red snapper 40 m 3 kg sent down"))
	assert.Contains(t, kept.Text, "no. 1:")
	shared := k.tap(ada, private(ada), kept, "Share")
	assert.Contains(t, shared[len(shared)-1].Text, "no. 3:")
	assert.Contains(t, only(t, k.say(ada, "/undo 3")).Text, "no. 3")
}
