package telegram

import (
	"encoding/json"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

var us = self{standin.ID, standin.Name}

var received = time.Date(2026, 5, 3, 10, 0, 0, 0, time.UTC)

// Parts of updates, as the documentation of the Bot API gives them.
const (
	club    = `"chat":{"id":-100,"type":"supergroup","title":"Club"}`
	private = `"chat":{"id":7,"type":"private","first_name":"Ann"}`
	ann     = `"from":{"id":7,"is_bot":false,"first_name":"Ann","last_name":"Lee","language_code":"pt-br"}`
	head    = `"message_id":5,"date":1777777777,`
)

func read(t testing.TB, raw string) decoded {
	t.Helper()
	d, err := us.decode(json.RawMessage(raw), received)
	require.NoError(t, err)
	return d
}

func message(rest string) string { return `{"update_id":9,"message":{` + head + rest + `}}` }

func TestPrivateMessage(t *testing.T) {
	d := read(t, message(private+`,`+ann+`,"text":" gag 40 m "`))
	assert.True(t, d.ok)
	assert.Equal(t, bot.Message{
		Update: 9, ID: 5, Text: "gag 40 m", Addressed: true,
		Chat:   bot.Chat{ID: 7},
		Sender: bot.Person{ID: 7, Name: "Ann Lee", Language: "pt-br", Admin: true},
		SentAt: time.Unix(1777777777, 0).UTC(), ReceivedAt: received,
	}, d.message)
}

// Who is spoken to, and what is left of the words.
func TestSpeakingToTheBot(t *testing.T) {
	entity := func(kind string, offset, length int) string {
		return `,"entities":[{"type":"` + kind + `","offset":` + numbered(offset) + `,"length":` + numbered(length) + `}]`
	}
	name := "@" + standin.Name
	n := len(name)
	for _, c := range []struct {
		about, rest string
		ok, to      bool
		text        string
	}{
		{"chatter", `,"text":"lovely evening"`, true, false, "lovely evening"},
		{"command", `,"text":"/log gag"` + entity("bot_command", 0, 4), true, true, "/log gag"},
		{"command to us", `,"text":"/log` + name + ` gag"` + entity("bot_command", 0, 4+n), true, true, "/log gag"},
		{"command to us, other case", `,"text":"/log` + strings.ToUpper(name) + ` gag"` + entity("bot_command", 0, 4+n), true, true, "/log gag"},
		{"command to another (trap: the name is dropped unseen)", `,"text":"/log@other_bot gag"` + entity("bot_command", 0, 14), false, true, ""},
		{"mention in front", `,"text":"` + name + `, gag 40 m"` + entity("mention", 0, n), true, true, "gag 40 m"},
		{"mention at the end", `,"text":"gag 40 m ` + name + `"` + entity("mention", 9, n), true, true, "gag 40 m"},
		{"mention after emoji (trap: places count UTF-16 units)", `,"text":"🐟🐟 ` + name + ` gag"` + entity("mention", 5, n), true, true, "🐟🐟  gag"},
		{"mention of a longer name (trap: part of a word)", `,"text":"` + name + `2 gag"` + entity("mention", 0, n+1), true, false, name + "2 gag"},
		{"mention of another", `,"text":"@ann gag"` + entity("mention", 0, 4), true, false, "@ann gag"},
		{"mention in a caption (trap: only texts are looked at)", `,"photo":[],"caption":"` + name + ` gag","caption_entities":[{"type":"mention","offset":0,"length":` + numbered(n) + `}]`, true, true, "gag"},
		{"command in a caption", `,"photo":[],"caption":"/log gag","caption_entities":[{"type":"bot_command","offset":0,"length":4}]`, true, true, "/log gag"},
		{"entity past the end (trap: panics)", `,"text":"/log"` + entity("bot_command", 0, 99), true, true, "/log"},
		{"entity before the start", `,"text":"gag"` + entity("mention", -3, 5), true, false, "gag"},
		{"entity of the greatest size", `,"text":"gag"` + entity("mention", 1, 9223372036854775807), true, false, "gag"},
		{"entity that splits a character (trap: cuts bytes)", `,"text":"/start…x"` + entity("bot_command", 0, 6), true, true, "/start…x"},
		{"answer to us", `,"text":"yes","reply_to_message":{"message_id":4,"date":1,` + club + `,"from":{"id":42,"is_bot":true,"first_name":"d"}}`, true, true, "yes"},
		{"answer to another", `,"text":"yes","reply_to_message":{"message_id":4,"date":1,` + club + `,"from":{"id":8,"is_bot":false,"first_name":"B"}}`, true, false, "yes"},
		{"photo without words", `,"photo":[]`, false, false, ""},
		{"no entities, command to us", `,"text":"/log` + name + ` gag"`, true, true, "/log gag"},
		{"no entities, command to another", `,"text":"/log@other_bot gag"`, false, true, ""},
		{"no entities, mention", `,"text":"hey ` + name + ` gag"`, true, true, "hey  gag"},
		{"no entities, longer name", `,"text":"` + name + `_2 gag"`, true, false, name + "_2 gag"},
		{"no entities, address of mail", `,"text":"a` + name + ` gag"`, true, false, "a" + name + " gag"},
	} {
		t.Run(c.about, func(t *testing.T) {
			d := read(t, message(club+`,`+ann+c.rest))
			assert.Equal(t, c.ok, d.ok)
			if c.ok {
				assert.Equal(t, c.to, d.message.Addressed)
				assert.Equal(t, c.text, d.message.Text)
				assert.True(t, utf8.ValidString(d.message.Text))
			}
			assert.False(t, d.message.Sender.Admin, "the chat's own list decides")
		})
	}
}

func TestAnswerKnowsWhatItAnswers(t *testing.T) {
	d := read(t, message(club+`,`+ann+`,"text":"yes","reply_to_message":{"message_id":4,"date":1,`+club+`,"from":{"id":42,"is_bot":true,"first_name":"d"}}`))
	assert.Equal(t, 4, d.message.ReplyTo)
	assert.True(t, d.message.ReplyToBot)
}

// Trap: the library knows no topics; and every message of a topic looks like an
// answer to the one that opened it.
func TestTopics(t *testing.T) {
	opened := `,"reply_to_message":{"message_id":3,"date":1,` + club + `,"from":{"id":42,"is_bot":true,"first_name":"d"},"forum_topic_created":{"name":"Log","icon_color":1}}`
	d := read(t, message(club+`,`+ann+`,"message_thread_id":3,"is_topic_message":true,"text":"gag"`+opened))
	assert.Equal(t, 3, d.message.Chat.Thread)
	assert.Zero(t, d.message.ReplyTo)
	assert.False(t, d.message.Addressed, "nobody spoke to the bot that opened the topic")

	d = read(t, message(club+`,`+ann+`,"message_thread_id":4,"text":"gag"`))
	assert.Zero(t, d.message.Chat.Thread, "a thread of answers is no topic")

	d = read(t, `{"update_id":9,"edited_message":{`+head+club+`,`+ann+`,"message_thread_id":3,"is_topic_message":true,"text":"gag"}}`)
	assert.Equal(t, 3, d.message.Chat.Thread)

	d = read(t, `{"update_id":9,"callback_query":{"id":"a",`+ann+`,"data":"x","message":{"message_id":5,"date":1,`+club+`,"message_thread_id":3,"is_topic_message":true}}}`)
	assert.Equal(t, 3, d.message.Chat.Thread)
}

func TestEditedMessage(t *testing.T) {
	d := read(t, `{"update_id":9,"edited_message":{`+head+private+`,`+ann+`,"edit_date":1777777999,"text":"gag 50 m"}}`)
	assert.True(t, d.ok)
	assert.True(t, d.message.Edited)
	assert.Equal(t, "gag 50 m", d.message.Text)
	d = read(t, `{"update_id":9,"edited_message":{`+head+private+`,`+ann+`,"photo":[],"caption":"gag 50 m"}}`)
	assert.True(t, d.ok)
	assert.Equal(t, "gag 50 m", d.message.Text)
}

func TestPlace(t *testing.T) {
	d := read(t, message(private+`,`+ann+`,"location":{"latitude":-33.5,"longitude":151.25}`))
	assert.True(t, d.ok)
	assert.Equal(t, &bot.Place{Lat: -33.5, Lon: 151.25}, d.message.Place)
	assert.True(t, d.message.Addressed)
	d = read(t, `{"update_id":9,"edited_message":{`+head+private+`,`+ann+`,"location":{"latitude":1,"longitude":2,"live_period":900}}}`)
	assert.False(t, d.ok, "a position that moves comes every few seconds")
}

func TestWhatHasNoWordsIsAnsweredInPrivateOnly(t *testing.T) {
	for _, sent := range []string{
		`"voice":{"file_id":"v","duration":3}`, `"photo":[{"file_id":"p","width":9,"height":9}]`, `"sticker":{"file_id":"s"}`,
	} {
		d := read(t, message(private+`,`+ann+`,`+sent))
		assert.True(t, d.ok, sent)
		assert.Empty(t, d.message.Text)
		assert.False(t, read(t, message(club+`,`+ann+`,`+sent)).ok, sent)
	}
	assert.False(t, read(t, message(private+`,`+ann+`,"media_group_id":"1","photo":[{"file_id":"p","width":9,"height":9}]`)).ok)
}

func TestPress(t *testing.T) {
	carrier := `"message":{"message_id":5,"date":1,` + club + `,"from":{"id":42,"is_bot":true,"first_name":"d"}}`
	d := read(t, `{"update_id":9,"callback_query":{"id":"77",`+ann+`,"chat_instance":"1","data":"done 1",`+carrier+`}}`)
	assert.True(t, d.ok)
	assert.Equal(t, "done 1", d.message.Press)
	assert.Equal(t, "77", d.message.PressID)
	assert.Equal(t, 5, d.message.ID)
	assert.EqualValues(t, 7, d.message.Sender.ID)
	assert.EqualValues(t, -100, d.message.Chat.ID)
	assert.True(t, d.message.Addressed)

	d = read(t, `{"update_id":9,"callback_query":{"id":"77",`+ann+`,"data":"done 1","message":{"chat":{"id":7,"type":"private"},"message_id":5,"date":0}}}`)
	assert.True(t, d.ok, "a message out of reach still has its chat and number")

	for about, raw := range map[string]string{
		"under an inline answer (trap: panics)": `{"update_id":9,"callback_query":{"id":"77",` + ann + `,"inline_message_id":"x","data":"done 1"}}`,
		"a game":                                `{"update_id":9,"callback_query":{"id":"77",` + ann + `,"game_short_name":"x",` + carrier + `}}`,
		"data too long":                         `{"update_id":9,"callback_query":{"id":"77",` + ann + `,"data":"` + strings.Repeat("x", 65) + `",` + carrier + `}}`,
		"without person":                        `{"update_id":9,"callback_query":{"id":"77","data":"x",` + carrier + `}}`,
	} {
		d := read(t, raw)
		assert.False(t, d.ok, about)
		assert.Equal(t, "77", d.idlePress, "%s: still acknowledged", about)
	}
}

func TestInlineQuery(t *testing.T) {
	d := read(t, `{"update_id":9,"inline_query":{"id":"88",`+ann+`,"query":"gag 40 m","offset":""}}`)
	assert.True(t, d.ok)
	assert.Equal(t, "gag 40 m", d.message.Inline)
	assert.Equal(t, "88", d.message.InlineID)
	assert.EqualValues(t, 7, d.message.Chat.ID)
}

func TestStandingOfTheBot(t *testing.T) {
	for _, c := range []struct {
		was, is string
		want    bot.Event
	}{
		{"left", "member", bot.EventAdded},
		{"kicked", "member", bot.EventAdded},
		{"left", "administrator", bot.EventAdded},
		{"member", "administrator", bot.EventPromoted},
		{"restricted", "administrator", bot.EventPromoted},
		{"administrator", "member", bot.EventDemoted},
		{"administrator", "restricted", bot.EventDemoted},
		{"administrator", "left", bot.EventRemoved},
		{"member", "kicked", bot.EventRemoved},
		{"member", "restricted", ""},
		{"left", "kicked", ""},
		{"administrator", "administrator", ""},
	} {
		raw := `{"update_id":9,"my_chat_member":{` + club + `,` + ann + `,"date":1777777777,"old_chat_member":{"status":"` + c.was + `","user":{"id":42}},"new_chat_member":{"status":"` + c.is + `","user":{"id":42}}}}`
		d := read(t, raw)
		assert.Equal(t, c.want, d.message.Event, "%s to %s", c.was, c.is)
		assert.Equal(t, c.want != "", d.ok)
		assert.EqualValues(t, -100, d.standingsOf)
	}
}

func TestGroupThatMovesIsToldBothWays(t *testing.T) {
	old := read(t, message(`"chat":{"id":-100,"type":"group","title":"Club"},`+ann+`,"migrate_to_chat_id":-1009`))
	fresh := read(t, message(`"chat":{"id":-1009,"type":"supergroup","title":"Club"},`+ann+`,"migrate_from_chat_id":-100`))
	for _, d := range []decoded{old, fresh} {
		assert.True(t, d.ok)
		assert.Equal(t, bot.EventMoved, d.message.Event)
		assert.EqualValues(t, -100, d.message.Chat.ID)
		assert.EqualValues(t, -1009, d.message.MovedTo)
	}
}

// An anonymous admin writes in the name of the group, through a bot of Telegram's.
func TestAnonymousAdminIsAnAdmin(t *testing.T) {
	d := read(t, message(club+`,"from":{"id":1087968824,"is_bot":true,"first_name":"Group","username":"GroupAnonymousBot"},"sender_chat":{"id":-100,"type":"supergroup","title":"Club"},"text":"/setup","entities":[{"type":"bot_command","offset":0,"length":6}]`))
	assert.True(t, d.ok)
	assert.True(t, d.message.Sender.Admin)
	assert.EqualValues(t, -100, d.message.Sender.ID)
}

// Trap: most kinds have no message; whoever takes it for granted falls over.
func TestWhatConcernsNobodyIsLeftAlone(t *testing.T) {
	for about, raw := range map[string]string{
		"channel post":             `{"update_id":9,"channel_post":{"message_id":5,"date":1,"chat":{"id":-1,"type":"channel"},"text":"x"}}`,
		"edited channel post":      `{"update_id":9,"edited_channel_post":{"message_id":5,"date":1,"chat":{"id":-1,"type":"channel"},"text":"x"}}`,
		"message in a channel":     message(`"chat":{"id":-1,"type":"channel"},` + ann + `,"text":"x"`),
		"post of a linked channel": message(club + `,"from":{"id":777000,"first_name":"Telegram"},"sender_chat":{"id":-55,"type":"channel","title":"News"},"is_automatic_forward":true,"text":"gag 40 m"`),
		"another bot":              message(club + `,"from":{"id":99,"is_bot":true,"first_name":"B"},"text":"/log"`),
		"nobody":                   message(club + `,"text":"x"`),
		"no chat":                  `{"update_id":9,"message":{"message_id":5,"date":1,` + ann + `,"text":"x"}}`,
		"our inline answer sent":   message(private + `,` + ann + `,"via_bot":{"id":42,"is_bot":true,"first_name":"d"},"text":"SEND IT DOWN"`),
		"people came":              message(club + `,` + ann + `,"new_chat_members":[{"id":42,"is_bot":true,"first_name":"d"}]`),
		"another bot left":         message(club + `,` + ann + `,"left_chat_member":{"id":8,"is_bot":true,"first_name":"B"}`),
		"a poll":                   `{"update_id":9,"poll":{"id":"1","question":"x","options":[]}}`,
		"an answer to a poll":      `{"update_id":9,"poll_answer":{"poll_id":"1","user":{"id":7},"option_ids":[0]}}`,
		"a request to join":        `{"update_id":9,"chat_join_request":{` + club + `,` + ann + `,"date":1}}`,
		"a reaction":               `{"update_id":9,"message_reaction":{` + club + `,"message_id":1,"date":1}}`,
		"a business message":       `{"update_id":9,"business_message":{` + head + private + `,` + ann + `,"text":"x"}}`,
		"a boost":                  `{"update_id":9,"chat_boost":{}}`,
		"a kind of next year":      `{"update_id":9,"never_heard_of":{"message":{"text":"x"}}}`,
		"empty":                    `{"update_id":9}`,
		"null":                     `null`,
		"inline without a person":  `{"update_id":9,"inline_query":{"id":"1","query":"x"}}`,
		"chosen inline result":     `{"update_id":9,"chosen_inline_result":{"result_id":"1",` + ann + `,"query":"x"}}`,
	} {
		d := read(t, raw)
		assert.False(t, d.ok, about)
	}
}

func TestChangedAdminsAreForgotten(t *testing.T) {
	d := read(t, `{"update_id":9,"chat_member":{`+club+`,`+ann+`,"date":1,"old_chat_member":{"status":"member","user":{"id":8}},"new_chat_member":{"status":"administrator","user":{"id":8}}}}`)
	assert.False(t, d.ok)
	assert.EqualValues(t, -100, d.standingsOf)
}

// Somebody's leaving is told by the group itself, and to an admin by an update.
func TestWhoLeftIsTold(t *testing.T) {
	for about, raw := range map[string]string{
		"by the group":    message(club + `,` + ann + `,"left_chat_member":{"id":8,"is_bot":false,"first_name":"B"}`),
		"by an update":    `{"update_id":9,"chat_member":{` + club + `,` + ann + `,"date":1,"old_chat_member":{"status":"member","user":{"id":8}},"new_chat_member":{"status":"left","user":{"id":8}}}}`,
		"put out by them": `{"update_id":9,"chat_member":{` + club + `,` + ann + `,"date":1,"old_chat_member":{"status":"member","user":{"id":8}},"new_chat_member":{"status":"kicked","user":{"id":8}}}}`,
	} {
		d := read(t, raw)
		assert.True(t, d.ok, about)
		assert.Equal(t, bot.EventLeft, d.message.Event, about)
		assert.EqualValues(t, 8, d.message.Sender.ID, about)
		assert.EqualValues(t, -100, d.message.Chat.ID, about)
		assert.EqualValues(t, -100, d.standingsOf, about)
	}
}

func TestSizesAreLimited(t *testing.T) {
	long := strings.Repeat("🐟", 5000)
	d := read(t, message(club+`,"from":{"id":7,"first_name":"`+long+`"},"text":"`+long+`"`))
	assert.Equal(t, maxText, utf16Len(d.message.Text))
	assert.LessOrEqual(t, utf16Len(d.message.Sender.Name), maxName)
	d = read(t, `{"update_id":9,"inline_query":{"id":"88",`+ann+`,"query":"`+long+`"}}`)
	assert.Equal(t, maxInline, utf16Len(d.message.Inline))
}

// Trap: a field that a later server shapes in another way must not cost a report.
// The rest of the message is read; without its chat or its number it is set aside.
func TestFieldOfAnotherShapeCostsOnlyItself(t *testing.T) {
	d := read(t, message(private+`,`+ann+`,"text":"gag 40 m","sticker":17,"forward_date":{"x":1}`))
	assert.True(t, d.ok)
	assert.Equal(t, "gag 40 m", d.message.Text)
	assert.EqualValues(t, 7, d.message.Sender.ID)
	assert.Contains(t, d.unread, "sticker")
	for _, raw := range []string{
		`{"update_id":9,"message":{"message_id":1,"chat":{"id":"x","type":"private"},` + ann + `,"text":"gag 40 m"}}`,
		`{"update_id":"9","message":{"message_id":1,` + private + `,` + ann + `,"text":"gag 40 m"}}`,
		`{"update_id":9,"message":{"message_id":1,` + private + `,` + ann + `,"text":["gag"]}}`,
		`{"update_id":9,"message":{"message_id":1,` + private + `,"from":"Ann","text":"gag 40 m"}}`,
	} {
		_, err := us.decode([]byte(raw), received)
		assert.Error(t, err, raw)
	}
}

// Whatever bytes come as an update, reading them does not panic, and what is
// handed on holds together.
func FuzzDecode(f *testing.F) {
	for _, raw := range []string{
		message(private + `,` + ann + `,"text":"gag 40 m"`),
		message(club + `,` + ann + `,"text":"/log@deepward_test_bot gag","entities":[{"type":"bot_command","offset":0,"length":22}]`),
		message(club + `,` + ann + `,"caption":"🐟 @deepward_test_bot","caption_entities":[{"type":"mention","offset":3,"length":18}]`),
		message(club + `,` + ann + `,"message_thread_id":3,"is_topic_message":true,"text":"x","reply_to_message":{"message_id":3,"chat":{"id":1}}`),
		message(club + `,"sender_chat":{"id":-100},"text":"@a@deepward_test_bot@"`),
		message(`"chat":{"id":-100,"type":"group"},"migrate_to_chat_id":-1009`),
		message(private + `,` + ann + `,"location":{"latitude":1,"longitude":2}`),
		`{"update_id":9,"callback_query":{"id":"77",` + ann + `,"data":"x","inline_message_id":"y"}}`,
		`{"update_id":9,"inline_query":{"id":"88",` + ann + `,"query":"gag"}}`,
		`{"update_id":9,"my_chat_member":{` + club + `,"old_chat_member":{"status":"left"},"new_chat_member":{"status":"member"}}}`,
		`{"update_id":"x"}`, `[]`, `null`, ``, `{"message":{}}`, "\xff",
	} {
		f.Add([]byte(raw))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		d, err := us.decode(raw, received)
		if err != nil {
			return
		}
		m := d.message
		if d.ok && m.Event == "" && m.Sender.ID == 0 && m.PressID == "" && m.InlineID == "" {
			t.Errorf("a message of nobody: %s", raw)
		}
		if utf16Len(m.Text) > maxText || len(m.Press) > maxPress && d.ok {
			t.Errorf("a size that no message has: %s", raw)
		}
		if !utf8.ValidString(m.Text) {
			t.Errorf("broken text: %q", m.Text)
		}
	})
}
