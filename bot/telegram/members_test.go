package telegram

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

// asking makes every private "/x" ask about group -100.
func asking(t *serving) {
	t.desk.clubs = func(m bot.Message) []catch.ChatID {
		if m.Chat.Group || m.Text != "/x" {
			return nil
		}
		return []catch.ChatID{-100}
	}
}

// seenIn is what the last "/x" of a person says of group -100.
func seenIn(t *serving, person catch.PersonID) (in, known bool) {
	for _, m := range t.desk.messages() {
		if m.Text == "/x" && m.Sender.ID == person {
			in, known = m.Members[-100]
		}
	}
	return in, known
}

func TestMembershipIsLookedUpWhereItMatters(t *testing.T) {
	inBubble(t, func(t *serving) {
		asking(t)
		asked := countMethod(t, "getChatMember")
		for person, status := range map[int64]string{1: "creator", 2: "administrator", 3: "member", 4: "left", 5: "kicked", 6: "restricted"} {
			t.api.SetStanding(-100, person, status)
			t.api.Say(person, person, "chatter")
			t.api.Say(person, person, "/x")
		}
		time.Sleep(time.Second)
		assert.Len(t, asked.all(), 6, "once a person, not for chatter")
		for person, want := range map[catch.PersonID]bool{1: true, 2: true, 3: true, 4: false, 5: false, 6: false} {
			in, known := seenIn(t, person)
			assert.True(t, known, person)
			assert.Equal(t, want, in, person)
		}
	})
}

func TestMembershipThatTheServerDoesNotTellIsLeftOut(t *testing.T) {
	for name, fault := range map[string]standin.Spoiler{
		"hangs":   standin.On("getChatMember", standin.Hang),
		"refuses": standin.On("getChatMember", standin.Says(400, "Bad Request: chat not found", nil)),
		"breaks":  standin.On("getChatMember", standin.Says(502, "Bad Gateway", nil)),
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				asking(t)
				t.api.Spoil(fault)
				began := time.Now()
				t.api.Say(3, 3, "/x")
				t.api.Await(1, time.Minute)
				assert.Less(t, time.Since(began), 2*memberTime, "the message waits no longer")
				_, known := seenIn(t, 3)
				assert.False(t, known)
				t.api.Spoil(nil)
				t.api.Say(3, 3, "/x")
				time.Sleep(time.Second)
				in, known := seenIn(t, 3)
				assert.True(t, in && known, "asked again at once")
			})
		})
	}
}

// Bot API, getChatMember: "guaranteed to work for other users only if the bot is an
// administrator". Where the server refuses, those stay members of whom no leave was told.
func TestMembershipThatTheServerKeepsToAdmins(t *testing.T) {
	for about, c := range map[string]struct {
		fault standin.Spoiler
		in    bool
	}{
		"kept to admins":  {standin.Says(400, "Bad Request: CHAT_ADMIN_REQUIRED", nil), true},
		"not a method":    {standin.Says(404, "Not Found", nil), true},
		"never seen here": {standin.Says(400, "Bad Request: PARTICIPANT_ID_INVALID", nil), false},
		"nobody":          {standin.Says(400, "Bad Request: user not found", nil), false},
	} {
		t.Run(about, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				asking(t)
				t.api.Spoil(standin.On("getChatMember", c.fault))
				t.api.Say(3, 3, "/x")
				time.Sleep(time.Second)
				in, known := seenIn(t, 3)
				assert.True(t, known)
				assert.Equal(t, c.in, in)
			})
		})
	}
}

func TestMembershipIsAskedAnewWhenSomebodyLeavesOrAMinuteHasPassed(t *testing.T) {
	for name, told := range map[string]string{
		"a service message": `{"update_id":%d,"message":{"message_id":5,"date":1,"chat":{"id":-100,"type":"supergroup"},"from":{"id":3,"first_name":"P"},"left_chat_member":{"id":3,"first_name":"P"}}}`,
		"chat_member":       `{"update_id":%d,"chat_member":{"chat":{"id":-100,"type":"supergroup"},"from":{"id":3},"date":1,"old_chat_member":{"status":"member","user":{"id":3}},"new_chat_member":{"status":"left","user":{"id":3}}}}`,
		"nothing":           "",
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				asking(t)
				t.api.Say(3, 3, "/x")
				time.Sleep(time.Second)
				in, _ := seenIn(t, 3)
				require.True(t, in)
				t.api.SetStanding(-100, 3, "left")
				if told != "" {
					t.api.Push(told)
				} else {
					time.Sleep(memberFor)
				}
				t.api.Say(3, 3, "/x")
				time.Sleep(time.Second)
				in, known := seenIn(t, 3)
				assert.True(t, known)
				assert.False(t, in)
			})
		})
	}
}
