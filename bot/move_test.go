package bot_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

// Trap: a group that moves begins to number its messages anew. A message of the
// new number must not be taken for the one of the same number before the move:
// an edit would overwrite another fish, an undo take two back.
func TestMessagesOfAMovedGroupAreNotTakenForThoseBefore(t *testing.T) {
	k := newTalk(t)
	old := k.message(bruno, club, "/log gag 40 m sent down 40 oz")
	old.ID, old.Addressed = 5, true
	before := only(t, k.take(old))

	moved := bot.Chat{ID: -1009, Group: true, Title: club.Title}
	for range 2 { // both chats tell of it
		k.take(bot.Message{Chat: club, Event: bot.EventMoved, MovedTo: moved.ID, ReceivedAt: k.now, SentAt: k.now})
	}
	fresh := k.message(bruno, moved, "/log red grouper 30 m at the top")
	fresh.ID, fresh.Addressed = 5, true
	k.take(fresh)
	require.Len(t, k.reports(), 2)
	assert.Equal(t, k.reports()[0].Chat, k.reports()[1].Chat, "one club")

	edit := k.message(bruno, moved, "/log red grouper 35 m at the top")
	edit.ID, edit.Addressed, edit.Edited = 5, true, true
	k.take(edit)
	assert.Equal(t, "Gag grouper 40", shortly(k.reports()[0].SpeciesGiven, *k.reports()[0].DepthM), "the report of before stands")
	assert.Equal(t, "Red grouper 35", shortly(k.reports()[1].SpeciesGiven, *k.reports()[1].DepthM))

	undo := k.message(bruno, moved, "/undo 2")
	undo.Addressed = true
	k.take(undo)
	require.Len(t, k.reports(), 1, "one taken back, the other stands")
	assert.Equal(t, "Gag grouper", k.reports()[0].SpeciesGiven)

	// A message of ours in the new group with the number of an old confirmation.
	answer := k.message(bruno, moved, "52 cm")
	answer.ReplyTo, answer.ReplyToBot, answer.Addressed = before.id, true, true
	k.take(answer)
	assert.Nil(t, k.reports()[0].LengthCm, "it is another message than the confirmation of before")
}

func shortly(name string, depth float64) string {
	return name + " " + strconv.FormatFloat(depth, 'f', -1, 64)
}

// What waits for a group that moved is sent there without the numbers of messages
// it had in the old one.
func TestWaitingReplyOfAMovedGroupNamesNoMessageOfBefore(t *testing.T) {
	k := newTalk(t)
	m := k.message(bruno, club, "/log gag 40 m sent down 40 oz")
	m.Addressed = true
	sendings, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	require.NotZero(t, sendings[0].Reply.ReplyTo)
	k.take(bot.Message{Chat: club, Event: bot.EventMoved, MovedTo: -1009, ReceivedAt: k.now, SentAt: k.now})
	waiting, err := k.desk.Pending(t.Context())
	require.NoError(t, err)
	require.Len(t, waiting, 1)
	assert.Equal(t, catch.ChatID(-1009), waiting[0].Reply.Chat)
	assert.Zero(t, waiting[0].Reply.ReplyTo)
	assert.Equal(t, sendings[0].Reply.Text, waiting[0].Reply.Text)
}

// A message that was written before the move and taken after it, as by a restart
// in between, is answered where what waits from earlier goes: the two keep their order.
func TestMessageOfBeforeTheMoveIsAnsweredInTheNewGroup(t *testing.T) {
	k := newTalk(t)
	k.take(bot.Message{Chat: club, Event: bot.EventMoved, MovedTo: -1009, ReceivedAt: k.now, SentAt: k.now})
	m := k.message(bruno, club, "/log gag 40 m sent down 40 oz")
	m.Addressed = true
	sendings, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	require.Len(t, sendings, 1)
	assert.Equal(t, catch.ChatID(-1009), sendings[0].Reply.Chat)
	assert.Zero(t, sendings[0].Reply.ReplyTo)
}
