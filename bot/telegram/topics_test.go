package telegram

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

// A topic that was closed or deleted loses no reply: it goes to the group's general
// topic, and where that is closed too to the person.
func TestShutTopicLosesNothing(t *testing.T) {
	for _, text := range []string{"TOPIC_CLOSED", "TOPIC_DELETED", "message thread not found"} {
		for _, general := range []bool{true, false} {
			inBubble(t, func(t *serving) {
				t.api.Spoil(func(x *standin.Exchange) bool {
					shut := x.Params["chat_id"] == "-100" && (x.Params["message_thread_id"] != "" || !general)
					return shut && standin.Says(400, "Bad Request: "+text, nil)(x)
				})
				t.api.Say(-100, 7, "words")
				t.api.Say(-100, 7, "file")
				t.api.Say(-100, 7, "mark")
				time.Sleep(time.Minute)
				want := int64(7)
				if general {
					want = -100
				}
				sent := t.api.Sent(want)
				require.Len(t, sent, 3)
				for _, c := range sent {
					assert.NotContains(t, c.Params, "message_thread_id")
					assert.NotContains(t, c.Params, "reply_parameters", "it would lead into the topic again")
				}
				assert.Zero(t, t.desk.waiting())
			}, conversing, func(_ *Config, t *serving) {
				inner := t.desk.reply
				t.desk.reply = func(m bot.Message) []bot.Reply {
					list := inner(m)
					list[0].Thread = 3
					if list[0].React { // a topic that takes no marks, as the real one would say in words
						list[0].React = false
					}
					return list
				}
			})
		}
	}
}

// What asks in a group opens an answer there, for the one who is asked; in private
// nothing is needed.
func TestAskingOpensAnAnswerInAGroup(t *testing.T) {
	for chat, want := range map[int64]string{-100: `{"force_reply":true,"selective":true}`, 7: ""} {
		inBubble(t, func(t *serving) {
			t.api.Say(chat, 7, "x")
			assert.Equal(t, want, t.api.Await(1, time.Minute)[0].Params["reply_markup"])
		}, func(_ *Config, t *serving) {
			t.desk.reply = func(m bot.Message) []bot.Reply {
				return []bot.Reply{{Chat: m.Chat.ID, Group: m.Chat.Group, ReplyTo: m.ID, Text: "which fish?", Asks: true}}
			}
		})
	}
}

func TestFailuresAreSaidInThePersonsLanguage(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, "x")
		assert.Contains(t, t.api.Await(1, time.Minute)[0].Plain(), "no se pudo preparar")
	}, replying(bot.Reply{Chat: 7, Language: "es", Attach: &bot.Attachment{Kind: "export"}}))
}

// A picture that the server has is not uploaded again, unless the server lost it.
func TestPicturesAreUploadedOnce(t *testing.T) {
	inBubble(t, func(t *serving) {
		for range 3 {
			t.api.Say(7, 7, "lesson")
			time.Sleep(time.Minute)
		}
		calls := t.api.Calls()
		require.Len(t, calls, 3)
		assert.Equal(t, "f", calls[0].File)
		assert.Empty(t, calls[1].File)
		assert.Equal(t, calls[1].Params["photo"], calls[2].Params["photo"])
		t.api.Spoil(func(x *standin.Exchange) bool {
			return x.Params["photo"] != "" && standin.Says(400, "Bad Request: wrong file identifier/HTTP URL specified", nil)(x)
		})
		t.api.Say(7, 7, "lesson")
		time.Sleep(time.Minute)
		require.Len(t, t.api.Calls(), 4)
		assert.Equal(t, "f", t.api.Calls()[3].File)
	}, conversing)
}

// Those who open the bot for the first time read what it is for, in their language.
func TestDescriptionsAreSet(t *testing.T) {
	inBubble(t, func(t *serving) {
		set := countMethod(t, "setMyDescription")
		time.Sleep(time.Minute)
		var languages []string
		for _, p := range set.all() {
			languages = append(languages, p["language_code"])
			assert.LessOrEqual(t, utf16Len(p["description"]), 512, "the limit of the Bot API")
			assert.True(t, strings.Contains(p["description"], "kg"), p["description"])
		}
		assert.Equal(t, []string{"", "es", "pt", "fr"}, languages)
	})
}

// What is sent in private and has no words gets one friendly line.
func TestWordlessThingsInPrivateAreTaken(t *testing.T) {
	inBubble(t, func(t *serving) {
		for _, thing := range []string{`"contact":{"phone_number":"1","first_name":"A"}`, `"poll":{"id":"1","question":"?","options":[]}`, `"dice":{"emoji":"🎲","value":3}`} {
			t.api.Push(`{"update_id":%d,"message":{"message_id":5,"date":1,"chat":{"id":7,"type":"private"},"from":{"id":7,"first_name":"A"},` + thing + `}}`)
			t.api.Push(`{"update_id":%d,"message":{"message_id":5,"date":1,"chat":{"id":-7,"type":"group"},"from":{"id":7,"first_name":"A"},` + thing + `}}`)
		}
		time.Sleep(time.Second)
		assert.Len(t, t.desk.messages(), 3, "of those in groups none")
	})
}
