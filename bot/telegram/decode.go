package telegram

import (
	"encoding/json"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// allowedUpdates is always sent in full: a missing list keeps whatever was set last.
var allowedUpdates = []string{"message", "edited_message", "callback_query", "inline_query", "my_chat_member"}

// newer holds the fields that are younger than the library.
type newer struct {
	Message       *threaded `json:"message"`
	EditedMessage *threaded `json:"edited_message"`
	CallbackQuery *struct {
		Message *threaded `json:"message"`
	} `json:"callback_query"`
}

type threaded struct {
	Thread  int  `json:"message_thread_id"`
	IsTopic bool `json:"is_topic_message"`
}

func (t *threaded) topic() int {
	if t == nil || !t.IsTopic {
		return 0
	}
	return t.Thread
}

// self is who the bot is.
type self struct {
	id   int64
	name string // without @
}

// decode turns one raw update into a message. ok is false for kinds that do not
// concern the bot; err for one that cannot be read at all.
func (s self) decode(raw json.RawMessage, received time.Time) (m bot.Message, ok bool, err error) {
	var u tgbotapi.Update
	if err := json.Unmarshal(raw, &u); err != nil {
		return bot.Message{}, false, err
	}
	var n newer
	_ = json.Unmarshal(raw, &n) // what the library could read has the right shape
	switch {
	case u.Message != nil:
		m, ok = s.message(u.Message, n.Message.topic())
	case u.EditedMessage != nil:
		m, ok = s.message(u.EditedMessage, n.EditedMessage.topic())
		m.Edited = true
	case u.CallbackQuery != nil:
		m, ok = s.press(u.CallbackQuery, n)
	case u.InlineQuery != nil && u.InlineQuery.From != nil:
		m = bot.Message{Chat: bot.Chat{ID: u.InlineQuery.From.ID}, Sender: person(u.InlineQuery.From), Inline: u.InlineQuery.Query, InlineID: u.InlineQuery.ID}
		ok = true
	case u.MyChatMember != nil:
		m, ok = member(u.MyChatMember)
	}
	m.Update, m.ReceivedAt = int64(u.UpdateID), received
	if m.SentAt.IsZero() {
		m.SentAt = received
	}
	return m, ok, nil
}

func (s self) message(tm *tgbotapi.Message, thread int) (bot.Message, bool) {
	if tm.Chat == nil {
		return bot.Message{}, false
	}
	m := bot.Message{Chat: chat(tm.Chat, thread), ID: tm.MessageID, SentAt: time.Unix(int64(tm.Date), 0).UTC()}
	if tm.Date == 0 {
		m.SentAt = time.Time{}
	}
	switch {
	case tm.MigrateToChatID != 0:
		m.Event, m.MovedTo = bot.EventMoved, tm.MigrateToChatID
		return m, true
	case tm.MigrateFromChatID != 0:
		m.Chat.ID, m.Event, m.MovedTo = tm.MigrateFromChatID, bot.EventMoved, tm.Chat.ID
		return m, true
	case tm.Chat.Type == "channel":
		return m, false
	}
	s.sender(&m, tm)
	if m.Sender.ID == 0 || tm.From != nil && tm.From.IsBot && m.Sender.ID == tm.From.ID {
		return m, false // another bot, or nobody we could answer
	}
	if tm.Location != nil {
		m.Place = &bot.Place{Lat: tm.Location.Latitude, Lon: tm.Location.Longitude}
	}
	s.reply(&m, tm)
	ok := s.text(&m, tm)
	return m, ok || m.Place != nil
}

// sender fills who wrote. An anonymous admin writes in the name of the chat.
func (s self) sender(m *bot.Message, tm *tgbotapi.Message) {
	switch {
	case tm.SenderChat != nil && tm.SenderChat.ID == tm.Chat.ID:
		m.Sender = bot.Person{ID: tm.SenderChat.ID, Name: tm.SenderChat.Title, Admin: true}
	case tm.SenderChat != nil:
		m.Sender = bot.Person{} // a channel's post: nobody to answer
	case tm.From != nil:
		m.Sender = person(tm.From)
		m.Sender.Admin = !m.Chat.Group
	}
}

func person(u *tgbotapi.User) bot.Person {
	name := strings.TrimSpace(u.FirstName + " " + u.LastName)
	return bot.Person{ID: u.ID, Name: name, Language: u.LanguageCode}
}

func chat(c *tgbotapi.Chat, thread int) bot.Chat {
	return bot.Chat{ID: c.ID, Group: c.Type != "private", Thread: thread, Title: c.Title}
}

func (s self) reply(m *bot.Message, tm *tgbotapi.Message) {
	if r := tm.ReplyToMessage; r != nil {
		m.ReplyTo = r.MessageID
		m.ReplyToBot = r.From != nil && r.From.ID == s.id
	}
}

// text fills the words, without the bot's name, and whether they speak to us.
// A command for another bot is none of ours.
func (s self) text(m *bot.Message, tm *tgbotapi.Message) bool {
	words, entities := tm.Text, tm.Entities
	if words == "" {
		words, entities = tm.Caption, tm.CaptionEntities
	}
	if words == "" {
		m.Addressed = !m.Chat.Group || m.ReplyToBot
		return false
	}
	words, mentioned, other := s.mentions(words, entities)
	m.Text = strings.TrimSpace(words)
	command := strings.HasPrefix(m.Text, "/")
	m.Addressed = !m.Chat.Group || mentioned || m.ReplyToBot || command
	return !other
}

// mentions takes the bot's own name out of a text. Places of entities are in
// UTF-16 units. other is true for a command that names another bot.
func (s self) mentions(text string, entities []tgbotapi.MessageEntity) (clean string, mentioned, other bool) {
	units := utf16.Encode([]rune(text))
	for _, e := range slices.Backward(entities) {
		if e.Offset < 0 || e.Length <= 0 || e.Offset+e.Length > len(units) {
			continue
		}
		word := string(utf16.Decode(units[e.Offset : e.Offset+e.Length]))
		switch {
		case e.Type == "mention" && strings.EqualFold(word, "@"+s.name):
			mentioned = true
			units = slices.Delete(units, e.Offset, e.Offset+e.Length)
		case e.Type == "bot_command" && e.Offset == 0:
			verb, name, named := strings.Cut(word, "@")
			if named && !strings.EqualFold(name, s.name) {
				return text, false, true
			}
			units = slices.Replace(units, 0, e.Length, utf16.Encode([]rune(verb))...)
		}
	}
	return string(utf16.Decode(units)), mentioned, false
}

// press is a tapped button; the message with it may be out of reach.
func (s self) press(q *tgbotapi.CallbackQuery, n newer) (bot.Message, bool) {
	if q.From == nil || q.Message == nil || q.Message.Chat == nil {
		return bot.Message{}, false
	}
	thread := 0
	if n.CallbackQuery != nil {
		thread = n.CallbackQuery.Message.topic()
	}
	m := bot.Message{Chat: chat(q.Message.Chat, thread), Sender: person(q.From), ID: q.Message.MessageID, Press: q.Data, PressID: q.ID, Addressed: true}
	m.Sender.Admin = !m.Chat.Group
	return m, q.Data != ""
}

// member is a change of the bot's own standing in a chat.
func member(c *tgbotapi.ChatMemberUpdated) (bot.Message, bool) {
	m := bot.Message{Chat: chat(&c.Chat, 0), Sender: person(&c.From), SentAt: time.Unix(int64(c.Date), 0).UTC()}
	was, is := c.OldChatMember.Status, c.NewChatMember.Status
	gone := func(status string) bool { return status == "left" || status == "kicked" || status == "" }
	switch {
	case gone(is):
		m.Event = bot.EventRemoved
	case gone(was):
		m.Event = bot.EventAdded
	case is == "administrator" && was != is:
		m.Event = bot.EventPromoted
	case was == "administrator" && was != is:
		m.Event = bot.EventDemoted
	default:
		return m, false
	}
	return m, true
}
