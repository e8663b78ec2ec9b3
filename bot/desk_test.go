package bot_test

import (
	"context"
	"log/slog"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// atLine runs a function whenever a line is logged.
type atLine func()

func (f atLine) Enabled(context.Context, slog.Level) bool  { return true }
func (f atLine) Handle(context.Context, slog.Record) error { f(); return nil }
func (f atLine) WithAttrs([]slog.Attr) slog.Handler        { return f }
func (f atLine) WithGroup(string) slog.Handler             { return f }

// spoilProfile makes a person's messages break the conversation.
func (k *talk) spoilProfile(p bot.Person) {
	k.t.Helper()
	require.NoError(k.t, k.store.Update(func(tx *store.Tx) error {
		return tx.Put("person", tx.PersonKey(p.ID), "no profile at all")
	}))
}

// Where the store fails in the middle of a batch that is taken one by one, the
// replies to what it kept before are handed out: when the batch comes again,
// those messages are known and bring none.
func TestRepliesOfAPartlyKeptBatchAreHandedOut(t *testing.T) {
	k := newTalk(t)
	k.spoilProfile(bruno)
	k.desk.Log = slog.New(atLine(func() { require.NoError(t, k.store.Close()) })) // the store fails from here
	sendings, err := k.desk.Take(t.Context(), []bot.Message{
		k.message(ada, private(ada), "gag 40m 3kg"), k.message(bruno, private(bruno), "gag 40m 3kg"), k.message(cleo, private(cleo), "gag 40m 3kg"),
	})
	require.Error(t, err)
	require.Len(t, sendings, 1)
	assert.Equal(t, private(ada).ID, sendings[0].Reply.Chat)
}

// A waiting reply that this program cannot unpack, as of a newer one, must not
// keep the others waiting at every start.
func TestWaitingReplyThatCannotBeReadHoldsNoOther(t *testing.T) {
	k := newTalk(t)
	logged := 0
	k.desk.Log = slog.New(atLine(func() { logged++ }))
	require.NoError(t, k.store.Update(func(tx *store.Tx) error {
		_, err := tx.Queue(store.Outgoing{Chat: private(ada).ID, Data: []byte("no reply at all"), QueuedAt: noon})
		return err
	}))
	sendings, err := k.desk.Take(t.Context(), []bot.Message{k.message(ada, private(ada), "gag 40m 3kg")})
	require.NoError(t, err)
	waiting, err := k.desk.Pending(t.Context())
	require.NoError(t, err)
	require.Len(t, waiting, 1)
	assert.Equal(t, sendings[0].ID, waiting[0].ID)
	assert.Equal(t, sendings[0].Reply.Text, waiting[0].Reply.Text)
	assert.Equal(t, 1, logged)
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		assert.Equal(t, 2, tx.OutboxLen(), "it stays for a program that can read it")
		return nil
	}))
}

// Telegram also tells of edits that nobody can see, such as a preview that was
// found later: they change nothing and are not answered.
func TestEditThatChangesNoWordIsNotAnswered(t *testing.T) {
	for about, said := range map[string][]string{
		"report":        {"log gag 40 m sent down 40 oz"},
		"report undone": {"log gag 40 m sent down 40 oz", "undo"},
		"question":      {"gag 40 m 3 kg"},
		"follow-up":     {"gag 40 m 3 kg", "and at 60 m"},
		"half":          {"gag", "40 m"},
		"command":       {"/how"},
		"greeting":      {"hello there"},
		"thanks":        {"gag 40 m 3 kg", "thanks"},
		"why":           {"gag 40 m 3 kg", "why"},
	} {
		k := newTalk(t)
		var messages []bot.Message
		for _, text := range said {
			messages = append(messages, k.message(ada, private(ada), text))
			k.take(messages[len(messages)-1])
		}
		kept := k.reports()
		for i, m := range messages {
			m.Update, m.Edited = catch.UpdateID(5000+i), true
			assert.Empty(t, k.take(m), "%s: %s", about, m.Text)
		}
		assert.Equal(t, kept, k.reports(), about)
	}
}

// How many of a group's messages each had is known after a restart, by no number of theirs.
func TestCallsOfAGroupAreKeptWithWhomTheyAnswered(t *testing.T) {
	k := newTalk(t)
	who := map[string]uint64{}
	for _, p := range []bot.Person{ada, bruno} {
		m := k.message(p, club, "/ask gag 40 m")
		m.Addressed = true
		sendings, err := k.desk.Take(t.Context(), []bot.Message{m})
		require.NoError(t, err)
		require.Len(t, sendings, 1)
		who[p.Name] = sendings[0].Who
		call := bot.Call{At: k.now, Who: sendings[0].Who, Asked: true}
		require.NoError(t, k.desk.Settle(t.Context(), []bot.Settled{{Sending: sendings[0], Calls: []bot.Call{call}, RetryAt: k.now}}))
	}
	waiting, err := k.desk.Pending(t.Context())
	require.NoError(t, err)
	calls, err := k.desk.Calls(t.Context(), k.now)
	require.NoError(t, err)
	require.Len(t, waiting, 2)
	require.Len(t, calls[club.ID], 2)
	for i, p := range []bot.Person{ada, bruno} {
		assert.Equal(t, who[p.Name], waiting[i].Who)
		assert.Equal(t, who[p.Name], calls[club.ID][i].Who)
		assert.True(t, calls[club.ID][i].Asked)
		assert.NotEqual(t, uint64(p.ID), who[p.Name])
	}
	assert.NotEqual(t, who[ada.Name], who[bruno.Name])
	calls, err = k.desk.Calls(t.Context(), k.now.Add(2*time.Minute))
	require.NoError(t, err)
	assert.Empty(t, calls)
}
