package telegram

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/store/catch"
)

// The sizes that Telegram states; what is longer comes from something else.
const (
	maxPress  = 64  // bytes of a button's data
	maxInline = 256 // of an inline query
	maxName   = 255 // of a person's or a group's name
)

// allowedUpdates is always sent in full: a missing list keeps whatever was set
// last. chat_member tells when a list of admins has changed.
func allowedUpdates() []string {
	return []string{"message", "edited_message", "callback_query", "inline_query", "my_chat_member", "chat_member"}
}

// decoded is what one update holds for us.
type decoded struct {
	// kind is the update's kind, for the meters.
	kind string
	// message is for the desk when ok.
	message bot.Message
	ok      bool
	// standingsOf is the chat in which somebody's standing has changed: who is its
	// admin, who is in it; 0 if none.
	standingsOf catch.ChatID
	// idlePress names a tap that nobody answers but that must be acknowledged.
	idlePress string
	// unread is the first field that had another shape than we know, "" if none.
	unread string
}

// self is who the bot is.
type self struct {
	id   int64
	name string // without @
}

// decode turns one raw update into a message. Kinds that do not concern the bot
// give none. A field of a shape that we do not know, as a later server may send, is
// passed over; err is for an update of which too little is left.
func (s self) decode(raw json.RawMessage, received time.Time) (decoded, error) {
	var u tgbotapi.Update
	var shape *json.UnmarshalTypeError
	err := json.Unmarshal(raw, &u)
	if err != nil && !errors.As(err, &shape) {
		return decoded{}, err
	}
	d := s.pick(&u, newerOf(raw))
	m := &d.message
	if shape != nil {
		if !d.ok || u.UpdateID == 0 || m.Chat.ID == 0 {
			return decoded{}, err
		}
		d.unread = shape.Field
	}
	m.Update, m.ReceivedAt = catch.UpdateID(u.UpdateID), received
	if m.SentAt.IsZero() {
		m.SentAt = received
	}
	return d, nil
}

// personOf is who an update that cannot be read is from, as far as can be seen; 0 if
// it cannot.
func personOf(raw json.RawMessage) catch.PersonID {
	var kinds map[string]json.RawMessage
	_ = json.Unmarshal(raw, &kinds)
	for _, kind := range allowedUpdates() {
		var from struct {
			From struct {
				ID catch.PersonID `json:"id"`
			} `json:"from"`
		}
		if _ = json.Unmarshal(kinds[kind], &from); from.From.ID != 0 {
			return from.From.ID
		}
	}
	return 0
}

func (s self) pick(u *tgbotapi.Update, n newer) (d decoded) {
	switch {
	case u.Message != nil:
		d.kind = "message"
		d.message, d.ok = s.said(u.Message, n.Message)
		if u.Message.Chat != nil && (u.Message.LeftChatMember != nil || u.Message.NewChatMembers != nil) {
			d.standingsOf = catch.ChatID(u.Message.Chat.ID)
		}
	case u.EditedMessage != nil:
		d.kind = "edited_message"
		d.message, d.ok = s.said(u.EditedMessage, n.EditedMessage)
		d.message.Edited = true
		// A shared position that moves is sent as an edit every few seconds.
		d.ok = d.ok && d.message.Place == nil
	case u.CallbackQuery != nil:
		d.kind = "callback_query"
		d.message, d.ok = press(u.CallbackQuery, n.CallbackQuery.Message)
		if !d.ok {
			d.idlePress = u.CallbackQuery.ID
		}
	case u.InlineQuery != nil:
		d.kind = "inline_query"
		d.message, d.ok = inline(u.InlineQuery)
	case u.MyChatMember != nil:
		d.kind, d.standingsOf = "my_chat_member", catch.ChatID(u.MyChatMember.Chat.ID)
		d.message, d.ok = standing(u.MyChatMember)
	case u.ChatMember != nil:
		d.kind, d.standingsOf = "chat_member", catch.ChatID(u.ChatMember.Chat.ID)
		d.message, d.ok = departure(u.ChatMember)
	default:
		d.kind = "other"
	}
	return d
}

// newer holds the fields that are younger than the library.
type newer struct {
	Message       threaded `json:"message"`
	EditedMessage threaded `json:"edited_message"`
	CallbackQuery struct {
		Message threaded `json:"message"`
	} `json:"callback_query"`
}

// threaded places a message in a forum.
type threaded struct {
	Thread  int  `json:"message_thread_id"`
	IsTopic bool `json:"is_topic_message"`
	ReplyTo struct {
		// TopicCreated is set in the message that opened a topic; every message of
		// the topic looks like an answer to it.
		TopicCreated json.RawMessage `json:"forum_topic_created"`
	} `json:"reply_to_message"`
}

func newerOf(raw json.RawMessage) (n newer) {
	if bytes.Contains(raw, []byte("message_thread_id")) {
		_ = json.Unmarshal(raw, &n) // a field of another shape only means no topic
	}
	return n
}

func (t threaded) topic() int {
	if !t.IsTopic {
		return 0
	}
	return t.Thread
}

// said is a message that somebody wrote or changed, or that the chat itself made.
func (s self) said(tm *tgbotapi.Message, n threaded) (bot.Message, bool) {
	if tm.Chat == nil {
		return bot.Message{}, false
	}
	m := bot.Message{Chat: chat(tm.Chat, n.topic()), ID: tm.MessageID, SentAt: dated(tm.Date)}
	switch {
	case tm.MigrateToChatID != 0:
		m.Event, m.MovedTo = bot.EventMoved, catch.ChatID(tm.MigrateToChatID)
		return m, true
	case tm.MigrateFromChatID != 0:
		m.Chat.ID, m.Event, m.MovedTo = catch.ChatID(tm.MigrateFromChatID), bot.EventMoved, catch.ChatID(tm.Chat.ID)
		return m, true
	case tm.Chat.Type == "channel":
		return m, false
	case tm.LeftChatMember != nil && !tm.LeftChatMember.IsBot:
		m.Event, m.Sender = bot.EventLeft, person(tm.LeftChatMember)
		return m, true
	case tm.ViaBot != nil && tm.ViaBot.ID == s.id:
		return m, false // our own inline answer, sent on by somebody
	}
	if m.Sender = author(tm); m.Sender.ID == 0 {
		return m, false
	}
	if r := tm.ReplyToMessage; r != nil && n.ReplyTo.TopicCreated == nil {
		m.ReplyTo, m.ReplyToBot = r.MessageID, r.From != nil && r.From.ID == s.id
	}
	if tm.Location != nil {
		m.Place = &bot.Place{Lat: tm.Location.Latitude, Lon: tm.Location.Longitude}
	}
	ok := s.words(&m, tm)
	if d := tm.Document; d != nil && tm.Chat.IsPrivate() && tm.EditDate == 0 {
		m.File = &bot.SentFile{ID: d.FileID, Name: cut(d.FileName, maxName), Size: int64(d.FileSize)}
	}
	return m, ok || m.Place != nil || m.File != nil || wordless(tm)
}

// wordless is something sent in private that has no words to read: a voice note from
// wet hands deserves to hear that it was not understood. Of an album, which comes as a
// message a picture, only the caption counts.
func wordless(tm *tgbotapi.Message) bool {
	if !tm.Chat.IsPrivate() || tm.Text != "" || tm.Caption != "" || tm.MediaGroupID != "" {
		return false
	}
	return tm.Contact != nil || tm.Poll != nil || tm.Dice != nil || tm.Game != nil || tm.Animation != nil || tm.Venue != nil || tm.Voice != nil || tm.VideoNote != nil || tm.Audio != nil || tm.Video != nil || tm.Photo != nil ||
		tm.Document != nil || tm.Sticker != nil
}

// author is who wrote a message, nobody for a bot and for a channel. An anonymous
// admin writes in the name of the group.
func author(tm *tgbotapi.Message) bot.Person {
	switch {
	case tm.SenderChat != nil && tm.SenderChat.ID == tm.Chat.ID:
		return bot.Person{ID: catch.PersonID(tm.SenderChat.ID), Name: cut(tm.SenderChat.Title, maxName), Admin: true}
	case tm.SenderChat != nil || tm.From == nil || tm.From.IsBot:
		return bot.Person{}
	}
	p := person(tm.From)
	p.Admin = tm.Chat.IsPrivate()
	return p
}

func person(u *tgbotapi.User) bot.Person {
	name := strings.TrimSpace(u.FirstName + " " + u.LastName)
	return bot.Person{ID: catch.PersonID(u.ID), Name: cut(name, maxName), Language: cut(u.LanguageCode, maxName)}
}

func chat(c *tgbotapi.Chat, thread int) bot.Chat {
	return bot.Chat{ID: catch.ChatID(c.ID), Group: !c.IsPrivate(), Thread: thread, Title: cut(c.Title, maxName)}
}

// dated is a time in seconds since 1970; 0 stands for a date that is not known.
func dated(seconds int) time.Time {
	if seconds == 0 {
		return time.Time{}
	}
	return time.Unix(int64(seconds), 0).UTC()
}

// words fills the text or caption, without the bot's name, and whether it speaks
// to us. ok is false where there are none, and for a command to another bot.
func (s self) words(m *bot.Message, tm *tgbotapi.Message) (ok bool) {
	text, entities := tm.Text, tm.Entities
	if text == "" {
		text, entities = tm.Caption, tm.CaptionEntities
	}
	clean, mentioned, other := s.named(cut(text, maxText), entities)
	m.Text = strings.TrimSpace(clean)
	m.Addressed = !m.Chat.Group || mentioned || m.ReplyToBot || strings.HasPrefix(m.Text, "/")
	return text != "" && !other
}

// press is a tapped button. The message that carries it may be out of reach, with
// only its chat and number left; under an inline answer it is not known at all.
func press(q *tgbotapi.CallbackQuery, n threaded) (bot.Message, bool) {
	if q.From == nil || q.Message == nil || q.Message.Chat == nil {
		return bot.Message{}, false
	}
	m := bot.Message{Chat: chat(q.Message.Chat, n.topic()), Sender: person(q.From), ID: q.Message.MessageID, Press: q.Data, PressID: q.ID, Addressed: true}
	m.Sender.Admin = !m.Chat.Group
	m.PressLabel, m.PressRow = tapped(q)
	if r := q.Message.ReplyToMessage; r != nil {
		m.ReplyTo = r.MessageID
	}
	return m, q.Data != "" && len(q.Data) <= maxPress
}

// tapped finds the button that was tapped in the keyboard of its message.
func tapped(q *tgbotapi.CallbackQuery) (label string, row int) {
	if q.Message.ReplyMarkup == nil {
		return "", 0
	}
	for i, buttons := range q.Message.ReplyMarkup.InlineKeyboard {
		for _, b := range buttons {
			if b.CallbackData != nil && *b.CallbackData == q.Data {
				return cut(b.Text, maxName), i
			}
		}
	}
	return "", 0
}

// inline is a question typed after the bot's name in any chat.
func inline(q *tgbotapi.InlineQuery) (bot.Message, bool) {
	if q.From == nil {
		return bot.Message{}, false
	}
	return bot.Message{
		Chat: bot.Chat{ID: catch.ChatID(q.From.ID)}, Sender: person(q.From), Inline: cut(q.Query, maxInline), InlineID: q.ID,
	}, q.ID != ""
}

// standing is a change of the bot's own standing in a chat.
func standing(c *tgbotapi.ChatMemberUpdated) (bot.Message, bool) {
	m := bot.Message{Chat: chat(&c.Chat, 0), Sender: person(&c.From), SentAt: dated(c.Date)}
	m.Event = eventOf(c.OldChatMember.Status, c.NewChatMember.Status)
	return m, m.Event != "" && c.Chat.Type != "channel"
}

// departure is somebody else's leaving, which a bot that is an admin is told.
func departure(c *tgbotapi.ChatMemberUpdated) (bot.Message, bool) {
	if c.NewChatMember.User == nil || c.NewChatMember.User.IsBot || !absent(c.NewChatMember.Status) {
		return bot.Message{}, false
	}
	m := bot.Message{Chat: chat(&c.Chat, 0), Sender: person(c.NewChatMember.User), SentAt: dated(c.Date), Event: bot.EventLeft}
	return m, c.Chat.Type != "channel"
}

func absent(status string) bool { return status == "left" || status == "kicked" || status == "" }

func eventOf(was, is string) bot.Event {
	const admin = "administrator"
	switch {
	case absent(is) && !absent(was):
		return bot.EventRemoved
	case absent(was) && !absent(is):
		return bot.EventAdded
	case is == admin && was != admin:
		return bot.EventPromoted
	case was == admin && is != admin:
		return bot.EventDemoted
	default:
		return ""
	}
}
