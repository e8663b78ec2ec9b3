package bot_test

import (
	"context"
	"errors"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// talk plays people who write to the bot, and keeps what it sends.
type talk struct {
	t     testing.TB
	desk  *bot.Desk
	store *store.Store
	now   time.Time
	ids   int
	// sent are the delivered replies, with the number each got.
	sent []delivered
	// left are the people who are not in the group, by number; silent is true when the
	// transport cannot learn who is.
	left   map[catch.PersonID]bool
	silent bool
}

type delivered struct {
	bot.Reply
	id int
}

var noon = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)

func newTalk(t testing.TB) *talk {
	t.Helper()
	dir := t.TempDir()
	k := &talk{t: t, now: noon}
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{
		KeyFile: filepath.Join(dir, "keys", "key"), Now: func() time.Time { return k.now }, Scratch: true,
	})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	k.store = s
	k.desk = &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: noFiles{}, Log: slog.New(slog.DiscardHandler)}
	return k
}

type noFiles struct{}

func (noFiles) Make(context.Context, bot.Attachment) (bot.File, error) {
	return bot.File{}, errors.New("no files here")
}

// The people and chats of the tests.
var (
	ada   = bot.Person{ID: 501, Name: "Ada", Admin: true}
	bruno = bot.Person{ID: 502, Name: "Bruno"}
	cleo  = bot.Person{ID: 503, Name: "Cleo"}
)

func private(p bot.Person) bot.Chat { return bot.Chat{ID: catch.ChatID(p.ID)} }

var club = bot.Chat{ID: -900, Group: true, Title: "Skerrow Point"}

// message fills the parts that every message has.
func (k *talk) message(who bot.Person, where bot.Chat, text string) bot.Message {
	k.ids++
	if !where.Group {
		who.Admin = true
	}
	return bot.Message{
		Update: catch.UpdateID(1000 + k.ids), Chat: where, Sender: who, ID: k.ids, Text: text,
		SentAt: k.now, ReceivedAt: k.now.Add(time.Second), Addressed: !where.Group,
	}
}

// take hands messages in and returns the replies they brought.
func (k *talk) take(messages ...bot.Message) []delivered {
	k.t.Helper()
	clubs, err := k.desk.ClubsToCheck(context.Background(), messages)
	require.NoError(k.t, err)
	for i, m := range messages {
		messages[i].Members = map[catch.ChatID]bool{}
		for _, c := range clubs[i] {
			if !k.silent {
				messages[i].Members[c] = !k.left[m.Sender.ID]
			}
		}
	}
	sendings, err := k.desk.Take(context.Background(), messages)
	require.NoError(k.t, err)
	var fresh []delivered
	for _, s := range sendings {
		id := s.Reply.Edit
		if id == 0 {
			k.ids++
			id = k.ids
		}
		require.NoError(k.t, k.desk.Settle(context.Background(), []bot.Settled{{Sending: s, Message: id}}))
		fresh = append(fresh, delivered{s.Reply.SaidLate(s.QueuedAt), id})
	}
	k.sent = append(k.sent, fresh...)
	return fresh
}

// say is one text in private.
func (k *talk) say(who bot.Person, text string) []delivered {
	k.t.Helper()
	return k.take(k.message(who, private(who), text))
}

// tell is one text in the club's group that speaks to the bot.
func (k *talk) tell(who bot.Person, text string) []delivered {
	k.t.Helper()
	m := k.message(who, club, text)
	m.Addressed = true
	return k.take(m)
}

// tap presses the button with that label under a message.
func (k *talk) tap(who bot.Person, where bot.Chat, under delivered, label string) []delivered {
	k.t.Helper()
	m := k.message(who, where, "")
	m.Press, m.PressID, m.ID = dataOf(k.t, under, label), "press", under.id
	return k.take(m)
}

func dataOf(t testing.TB, r delivered, label string) string {
	t.Helper()
	for _, row := range r.Buttons {
		for _, b := range row {
			if strings.Contains(b.Label, label) {
				return b.Data
			}
		}
	}
	require.Failf(t, "no such button", "%q under %q", label, r.Text)
	return ""
}

// only returns the one reply with words.
func only(t testing.TB, replies []delivered) delivered {
	t.Helper()
	var worded []delivered
	for _, r := range replies {
		if r.PressID == "" || r.Text != "" {
			worded = append(worded, r)
		}
	}
	require.Len(t, worded, 1, "%+v", replies)
	return worded[0]
}

// reports reads all that stands in the store.
func (k *talk) reports() []catch.Report {
	k.t.Helper()
	var list []catch.Report
	require.NoError(k.t, k.store.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true}) {
			if err != nil {
				return err
			}
			list = append(list, *r)
		}
		return nil
	}))
	return list
}
