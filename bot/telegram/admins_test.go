package telegram

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

// roles says who of the takers of "/x" was an admin, by person.
func roles(t *serving) map[catch.PersonID]bool {
	got := map[catch.PersonID]bool{}
	for _, m := range t.desk.messages() {
		if m.Text == "/x" {
			got[m.Sender.ID] = m.Sender.Admin
		}
	}
	return got
}

// Trap: the library does not count the creator among the administrators.
func TestCreatorAndAdminsAreAdminsNobodyElse(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.SetAdmins(-100, 1, 2) // 1 made the group
		for _, person := range []int64{1, 2, 3} {
			t.api.Say(-100, person, "/x")
		}
		time.Sleep(time.Minute)
		assert.Equal(t, map[catch.PersonID]bool{1: true, 2: true, 3: false}, roles(t))
	})
}

func TestAdminListIsAskedOnlyWhenItMattersAndKeptForMinutes(t *testing.T) {
	inBubble(t, func(t *serving) {
		asked := countMethod(t, "getChatAdministrators")
		for range 5 {
			t.api.Say(-100, 3, "chatter")
			t.api.Say(3, 3, "/x")
		}
		time.Sleep(time.Second)
		assert.Empty(t, asked.all(), "neither for chatter nor in private")
		for range 10 {
			t.api.Say(-100, 3, "/x")
			time.Sleep(20 * time.Second)
		}
		assert.Len(t, asked.all(), 1)
		time.Sleep(adminsFor)
		t.api.Say(-100, 3, "/x")
		time.Sleep(time.Second)
		assert.Len(t, asked.all(), 2)
	})
}

func TestAdminListIsAskedAnewWhenItChanges(t *testing.T) {
	for name, update := range map[string]string{
		"of somebody": `{"update_id":%d,"chat_member":{"chat":{"id":-100,"type":"supergroup"},"from":{"id":1},"date":1,"old_chat_member":{"status":"member","user":{"id":3}},"new_chat_member":{"status":"administrator","user":{"id":3}}}}`,
		"of the bot":  `{"update_id":%d,"my_chat_member":{"chat":{"id":-100,"type":"supergroup"},"from":{"id":1},"date":1,"old_chat_member":{"status":"member","user":{"id":42}},"new_chat_member":{"status":"administrator","user":{"id":42}}}}`,
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.SetAdmins(-100, 1)
				t.api.Say(-100, 3, "/x")
				time.Sleep(time.Second)
				assert.False(t, roles(t)[3])
				t.api.SetAdmins(-100, 1, 3)
				t.api.Push(update)
				t.api.Say(-100, 3, "/x")
				time.Sleep(time.Second)
				assert.True(t, roles(t)[3])
			})
		})
	}
}

// A server that does not tell makes nobody an admin, and holds messages up for a
// few seconds at most.
func TestAdminListOutOfReachMakesNobodyAdmin(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.SetAdmins(-100, 1)
		t.api.Spoil(standin.On("getChatAdministrators", standin.Hang))
		began := time.Now()
		for range 20 {
			t.api.Say(-100, 1, "/x")
		}
		t.api.Await(20, time.Minute)
		assert.Less(t, time.Since(began), 2*adminsTime)
		assert.Equal(t, map[catch.PersonID]bool{1: false}, roles(t))
		for n := 21; n < 25; n++ {
			t.api.Say(-100, 1, "/x")
			t.api.Await(n, time.Minute)
		}
		assert.Less(t, time.Since(began), 2*adminsTime, "asked once, not for each message")
		t.api.Spoil(nil)
		time.Sleep(adminsMissing)
		t.api.Say(-100, 1, "/x")
		time.Sleep(time.Second)
		assert.True(t, roles(t)[1])
	})
}

// A stop in the middle of the lookup must not turn an admin away: the update
// comes again after the restart.
func TestStopDuringTheLookupTakesNothing(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.SetAdmins(-100, 1)
		t.api.Spoil(standin.On("getChatAdministrators", standin.Hang))
		t.api.Say(-100, 1, "/x")
		time.Sleep(time.Second)
		require.NoError(t, t.stop())
		assert.Empty(t, t.desk.messages())
		assert.Equal(t, 1, t.api.Waiting())
	})
}

func TestAnonymousAdminNeedsNoLookup(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Push(`{"update_id":%d,"message":{"message_id":5,"date":1,"chat":{"id":-100,"type":"supergroup"},"from":{"id":1087968824,"is_bot":true,"first_name":"Group"},"sender_chat":{"id":-100,"type":"supergroup"},"text":"/x","entities":[{"type":"bot_command","offset":0,"length":2}]}}`)
		time.Sleep(time.Second)
		assert.Equal(t, map[catch.PersonID]bool{-100: true}, roles(t))
	})
}

// A server that is slow to tell who is admin delays nobody who needs no role.
func TestSlowListOfAdminsDelaysOnlyWhoNeedsIt(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.SetAdmins(-100, 1)
		t.api.Spoil(standin.On("getChatAdministrators", func(*standin.Exchange) bool { time.Sleep(4 * time.Second); return false }))
		t.api.Say(-100, 1, "/x")
		for i := range 4 {
			asked := time.Now()
			t.api.Say(-100, 2, "/ask")
			t.api.Say(3, 3, numbered(i))
			t.api.Await(2*i+2, time.Minute)
			assert.Less(t, time.Since(asked), time.Second)
		}
		time.Sleep(5 * time.Second)
		assert.Equal(t, map[catch.PersonID]bool{1: true}, roles(t))
		assert.Len(t, t.api.Calls(), 9, "each is answered, once")
		assert.Zero(t, t.api.Waiting(), "and confirmed")
		var page strings.Builder
		t.bot.meters.write(&page)
		assert.Contains(t, page.String(), `deepward_updates_total{kind="message",outcome="taken"} 9`+"\n", "and counted once")
	})
}
