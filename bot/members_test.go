package bot_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

// inClub lets bruno be known in the club, with a report of ada's in its log and one of
// his own in private; it returns the confirmation of that one.
func (k *talk) inClub() delivered {
	k.tell(ada, "log gag 40 m 52 cm sent down 40 oz swam off")
	k.tell(bruno, "gag 40 m?")
	return only(k.t, k.say(bruno, "log gag 41 m 50 cm let go at the top"))
}

func TestWhoLeftAClubNeitherSharesToItNorSeesItsSummary(t *testing.T) {
	k := newTalk(t)
	kept := k.inClub()
	r, _ := k.made(only(t, k.say(bruno, "/summary")))
	assert.Contains(t, r.Text, "Sent down: 100", "as a member")
	k.left = map[catch.PersonID]bool{bruno.ID: true}
	notice := k.tap(bruno, private(bruno), kept, "Share")
	require.Len(t, notice, 1)
	assert.Contains(t, notice[0].Text, "not in that group any more")
	assert.Zero(t, k.reports()[1].Club)
	r, _ = k.made(only(t, k.say(bruno, "/summary")))
	assert.NotContains(t, r.Text, "Sent down: 100")
	if r.Attach != nil {
		assert.NotEqual(t, "1", r.Attach.Args["chat"], "not the club's")
	}
	k.left = nil // back, and heard in the group again
	k.tell(bruno, "gag 40 m?")
	kept = only(t, k.say(bruno, "log gag 42 m 50 cm let go at the top"))
	k.tap(bruno, private(bruno), kept, "Share")
	assert.NotZero(t, k.reports()[2].Club)
}

func TestMembershipThatCannotBeLearntGivesNothingAway(t *testing.T) {
	k := newTalk(t)
	kept := k.inClub()
	k.tell(ada, "/organiser")
	k.silent = true
	notice := k.tap(bruno, private(bruno), kept, "Share")
	require.Len(t, notice, 1)
	assert.Contains(t, notice[0].Text, "could not check")
	assert.Zero(t, k.reports()[1].Club)
	for who, text := range map[bot.Person]string{bruno: "/summary", ada: "/export"} {
		r := only(t, k.say(who, text))
		assert.Contains(t, r.Text, "could not check", text)
		assert.Nil(t, r.Attach, text)
	}
	k.silent = false
	k.tap(bruno, private(bruno), kept, "Share")
	assert.NotZero(t, k.reports()[1].Club, "the same button, once it can be learnt")
	require.NotNil(t, only(t, k.say(ada, "/export")).Attach)
}

func TestOrganiserWhoLeftTakesNoLogOut(t *testing.T) {
	k := newTalk(t)
	k.inClub()
	k.tell(ada, "/organiser")
	k.left = map[catch.PersonID]bool{ada.ID: true}
	assert.Nil(t, attached(k.say(ada, "/export"), "1"))
	forged := k.message(ada, private(ada), "")
	forged.Press, forged.PressID = "export 1 csv", "p"
	assert.Nil(t, attached(k.take(forged), "1"))
}

// What the group itself tells of a leave counts where the server tells no members.
func TestWhoIsToldToHaveLeftIsOffTheList(t *testing.T) {
	k := newTalk(t)
	k.inClub()
	k.tell(ada, "/organiser")
	require.NotNil(t, attached(k.say(ada, "/export"), "1"))
	k.take(bot.Message{Chat: club, Sender: ada, Event: bot.EventLeft, ReceivedAt: k.now, SentAt: k.now})
	assert.Nil(t, attached(k.say(ada, "/export"), "1"))
	assert.Contains(t, k.summedFor(bruno), "Sent down: 100", "the others stay")
}

// A club may put the bot out when its season is over; its organiser still takes the log.
func TestOrganiserTakesTheLogOfAGroupThatPutTheBotOut(t *testing.T) {
	k := newTalk(t)
	k.inClub()
	k.tell(ada, "/organiser")
	k.take(bot.Message{Chat: club, Sender: ada, Event: bot.EventRemoved, ReceivedAt: k.now, SentAt: k.now})
	k.silent = true
	assert.NotNil(t, attached(k.say(ada, "/export"), "1"))
	assert.Nil(t, attached(k.say(bruno, "/export"), "1"))
}

// attached is the file of a chat among replies, nil if there is none.
func attached(replies []delivered, chat string) *bot.Attachment {
	for _, r := range replies {
		if r.Attach != nil && r.Attach.Args["chat"] == chat {
			return r.Attach
		}
	}
	return nil
}

// What is asked in private may come in one batch with what was said in the group.
func TestMembershipIsAskedForAGroupOfTheSameBatch(t *testing.T) {
	k := newTalk(t)
	first := k.message(ada, club, "log gag 40 m 52 cm sent down 40 oz")
	first.Addressed = true
	asked := k.message(ada, private(ada), "/summary")
	replies := k.take(first, asked)
	require.Len(t, replies, 2)
	r, _ := k.made(replies[1])
	assert.Contains(t, r.Text, "Sent down: 100")
}

func TestMostMessagesNeedNoLookup(t *testing.T) {
	k := newTalk(t)
	k.inClub()
	var batch []bot.Message
	for _, text := range []string{"red snapper 45m 3kg", "nice weather", "/mine", "undo", "how"} {
		batch = append(batch, k.message(bruno, private(bruno), text))
	}
	batch = append(batch, k.message(bruno, club, "/summary"))
	clubs, err := k.desk.ClubsToCheck(t.Context(), batch)
	require.NoError(t, err)
	for i, list := range clubs {
		assert.Empty(t, list, batch[i].Text)
	}
	for _, text := range []string{"/summary", "summary", "resumen", "/export csv"} {
		clubs, err := k.desk.ClubsToCheck(t.Context(), []bot.Message{k.message(bruno, private(bruno), text)})
		require.NoError(t, err)
		assert.Equal(t, [][]catch.ChatID{{club.ID}}, clubs, text)
	}
}

func TestAnonymousAdminMustWriteAsThemselvesToBecomeOrganiser(t *testing.T) {
	k := newTalk(t)
	group := bot.Person{ID: catch.PersonID(club.ID), Name: club.Title, Admin: true}
	assert.Contains(t, only(t, k.tell(group, "/organiser")).Text, "Write as yourself")
	assert.Contains(t, only(t, k.tell(ada, "/organiser")).Text, "New organiser: Ada")
	assert.Contains(t, only(t, k.tell(group, "/organiser none")).Text, "No organisers", "what an admin may do, an anonymous one may")
}
