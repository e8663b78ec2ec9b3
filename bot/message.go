package bot

import (
	"context"
	"strings"
	"time"

	"deepward/bot/words"
	"deepward/store/catch"
)

// Message is one thing that happened in some chat, freed of its transport.
// Exactly one of Text, Press, Place, File, Event or Inline is its point.
type Message struct {
	// Update names the delivery; the same number comes again when the transport
	// delivers twice. 0 means the transport never repeats.
	Update catch.UpdateID
	Chat   Chat
	Sender Person
	// ID is the number of the message in its chat.
	ID int
	// Text is the message as typed, without the bot's name.
	Text string
	// SentAt is when the person sent it, ReceivedAt when it reached the program.
	SentAt, ReceivedAt time.Time
	// ReplyTo is the message it answers, 0 if none; ReplyToBot when that one is ours.
	ReplyTo    int
	ReplyToBot bool
	// Addressed is true when the bot was spoken to: a private chat, a command, a
	// mention, or a reply to the bot.
	Addressed bool
	// Edited is true when the message replaces an earlier one of the same ID.
	Edited bool

	// Members says of groups, by their numbers on the transport, whether the sender is
	// in them. It is filled for what Desk.ClubsToCheck names; a group that is not in it
	// could not be asked.
	Members map[catch.ChatID]bool
	// Presumed are those of Members that the transport could not ask about and takes for
	// granted, as of somebody who wrote there.
	Presumed map[catch.ChatID]bool

	// Press is the data of a button that was tapped, PressID what the transport
	// needs to acknowledge it, and ID then the message that carries the button.
	Press   string
	PressID string
	// PressLabel is what the tapped button said and PressRow the row it stood in, from 0;
	// "" where the transport cannot tell.
	PressLabel string
	PressRow   int
	// Place is a shared position.
	Place *Place
	// File is a document that was sent in private, nil if none; Text is then its caption.
	File *SentFile
	// Event is a change of the chat itself.
	Event Event
	// MovedTo is the new number of the chat after EventMoved.
	MovedTo catch.ChatID
	// Inline is the query typed after the bot's name in another chat, InlineID
	// what the transport needs to answer it.
	Inline   string
	InlineID string

	// Raw is the update as it came, to be set aside if the message breaks the
	// conversation; nil where the transport has none.
	Raw []byte
}

// dated is when a message was sent by the far side's clock, the same however often it is
// delivered. An edit carries the date of what it changes, and a tap none: they are dated
// by the clock here, which is not sure.
func (m Message) dated() (at time.Time, sure bool) {
	if m.Edited || m.Press != "" || m.InlineID != "" || m.SentAt.IsZero() || m.SentAt.Equal(m.ReceivedAt) {
		return m.ReceivedAt, false
	}
	return m.SentAt, true
}

// Chat is where a message was written.
type Chat struct {
	ID catch.ChatID
	// Group is false for a private chat with one person.
	Group bool
	// Thread is the forum topic, 0 if the chat has none.
	Thread int
	Title  string
}

// Person is who wrote a message.
type Person struct {
	ID   catch.PersonID
	Name string
	// Language is the BCP 47 tag of the person's program, "" if unknown.
	Language string
	// Admin is true when the transport has seen, in the chat's own list, that the
	// person administers this chat. In a private chat it is true.
	Admin bool
}

// SentFile is a document as somebody sent it; its content stays with the transport.
type SentFile struct {
	// ID is the transport's name for it, Name the sender's.
	ID, Name string
	// Size is in bytes, 0 if unknown.
	Size int64
}

// Place is a position in degrees on WGS 84.
type Place struct{ Lat, Lon float64 }

// Event is a change of a chat.
type Event string

// The events that concern the bot.
const (
	EventAdded    Event = "added"
	EventRemoved  Event = "removed"
	EventPromoted Event = "promoted"
	EventDemoted  Event = "demoted"
	// EventLeft: Message.Sender is no longer in the group.
	EventLeft Event = "left"
	// EventMoved: the group got a new number, Message.MovedTo.
	EventMoved Event = "moved"
)

// Reply is one thing to send. Text is plain: transports escape it.
type Reply struct {
	Chat   catch.ChatID `cbor:"1,keyasint"`
	Thread int          `cbor:"2,keyasint,omitempty"`
	// Text is the message; its first line is the headline when Headline is set.
	Text     string `cbor:"3,keyasint,omitempty"`
	Headline bool   `cbor:"4,keyasint,omitempty"`
	// ReplyTo is the message answered, 0 if none.
	ReplyTo int `cbor:"5,keyasint,omitempty"`
	// Edit is the message of ours to replace, 0 for a new one.
	Edit int `cbor:"6,keyasint,omitempty"`
	// React puts a mark on message ReplyTo instead of writing; where the server
	// allows none, Text is sent.
	React bool `cbor:"7,keyasint,omitempty"`
	// Buttons are rows of choices under the text.
	Buttons [][]Button `cbor:"8,keyasint,omitempty"`
	// Attach is a picture or document to make and send when its turn comes.
	Attach *Attachment `cbor:"9,keyasint,omitempty"`
	// PressID acknowledges a tap; Text is then a short notice, not a message.
	PressID string `cbor:"10,keyasint,omitempty"`
	// InlineID answers an inline query with Text.
	InlineID string `cbor:"11,keyasint,omitempty"`
	// Ref is remembered with the number that the sent message gets, so that a
	// later answer to it can be understood ("report 12", "question 40").
	Ref string `cbor:"12,keyasint,omitempty"`
	// Title heads an inline answer.
	Title string `cbor:"15,keyasint,omitempty"`
	// For is the person answered in a group, 0 if it answers nobody there: one who
	// floods a group is slowed, not the others.
	For catch.PersonID `cbor:"16,keyasint,omitempty"`
	// Group is true when the chat is a group: it has limits of its own.
	Group bool `cbor:"17,keyasint,omitempty"`
	// Language is what the person is answered in, for what the delivery adds.
	Language string `cbor:"18,keyasint,omitempty"`
	// AskedAt is when the question that this answers was sent, zero for anything else:
	// an answer that leaves late says so.
	AskedAt time.Time `cbor:"19,keyasint,omitzero"`
	// Asks is true for words that want an answer in words: in a group, where the bot may
	// hear only answers to its own messages, the transport opens one.
	Asks bool `cbor:"20,keyasint,omitempty"`
	// Pin keeps a new message in sight where the bot may; where not, it only stands.
	Pin bool `cbor:"21,keyasint,omitempty"`
}

// Confirms is true for the words that a report was kept: there is no hurry.
func (r Reply) Confirms() bool { return strings.HasPrefix(r.Ref, "report/") }

// IsCard is true for the season card: it follows the reports when there is room.
func (r Reply) IsCard() bool { return strings.HasPrefix(r.Ref, refCard+"/") }

// SaidLate is the reply as it is to leave now: one that leaves long after its question
// says how late it is.
func (r Reply) SaidLate(now time.Time) Reply {
	late := now.Sub(r.AskedAt)
	if r.AskedAt.IsZero() || late <= lateAfter || r.Text == "" {
		return r
	}
	v := words.For(r.Language, false)
	r.Text = v.Say("head.late", v.Duration(late.Seconds())) + "\n" + r.Text
	return r
}

// MovedTo is the reply for the new number of its chat. There the numbers of
// messages mean others: it names none, and is a message of its own.
func (r Reply) MovedTo(chat catch.ChatID) Reply {
	if chat == r.Chat {
		return r
	}
	r.Chat, r.Thread, r.ReplyTo, r.Edit, r.React = chat, 0, 0, 0, false
	return r
}

// Button is one choice. Data comes back as Message.Press, at most 64 bytes.
type Button struct {
	Label string `cbor:"1,keyasint"`
	Data  string `cbor:"2,keyasint"`
	// Style colours it where the transport can: "primary", "success", "danger", or "".
	Style string `cbor:"3,keyasint,omitempty"`
	// Start, instead of Data, opens a private chat with the bot that begins with
	// "/start" and this: letters, digits and hyphens, at most 64.
	Start string `cbor:"4,keyasint,omitempty"`
}

// Attachment names a file that is made when it is sent, so that no transaction
// waits for it.
type Attachment struct {
	// Kind is what to make: "export", "card", "lesson", "report", "mydata".
	Kind string `cbor:"1,keyasint"`
	// Args are what the maker needs.
	Args map[string]string `cbor:"2,keyasint,omitempty"`
	// Photo shows the file as a picture.
	Photo bool `cbor:"3,keyasint,omitempty"`
	// Fetch brings the content of what somebody sent, by SentFile.ID. The transport sets it
	// for the making; nil where it carries no files. The error is fs.ErrNotExist where it is
	// gone.
	Fetch func(ctx context.Context, id string) ([]byte, error) `cbor:"-"`
}
