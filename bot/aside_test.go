package bot_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// passerby is one of many people, each in a private chat.
func passerby(n int) bot.Person {
	return bot.Person{ID: catch.PersonID(600 + n), Name: fmt.Sprint("S", n)}
}

// breaking is a message that breaks the conversation until it is mended.
func (k *talk) breaking(who bot.Person) bot.Message {
	k.spoilProfile(who)
	m := k.message(who, private(who), "gag 40m 3kg")
	m.Raw = []byte(fmt.Sprintf(`{"update_id":%d}`, m.Update))
	return m
}

// mend takes away what broke a person's messages.
func (k *talk) mend(who bot.Person) {
	require.NoError(k.t, k.store.Update(func(tx *store.Tx) error { return tx.Delete("person", tx.PersonKey(who.ID)) }))
}

// asides lists what was set aside, and whether each counts as seen.
func (k *talk) asides() map[catch.UpdateID]bool {
	seen := map[catch.UpdateID]bool{}
	require.NoError(k.t, k.store.View(func(tx *store.Tx) error {
		list, err := tx.SetAsides()
		for _, a := range list {
			assert.Equal(k.t, fmt.Sprintf(`{"update_id":%d}`, a.Number), string(a.Raw))
			seen[catch.UpdateID(a.Number)] = tx.Seen(catch.UpdateID(a.Number), k.now)
		}
		return err
	}))
	return seen
}

// restart is the desk of a program that was started anew.
func (k *talk) restart() {
	k.desk = &bot.Desk{Store: k.store, Engine: k.desk.Engine, Maker: k.desk.Maker, Log: k.desk.Log}
}

// A fault that all messages meet must not pass over what everybody writes: after a
// few chats' messages in a row nothing is confirmed any more, also after a restart,
// until the fault is mended.
func TestFaultOfAllMessagesStopsBeforeMoreIsLost(t *testing.T) {
	k := newTalk(t)
	var messages []bot.Message
	for n := range 5 {
		messages = append(messages, k.breaking(passerby(n)))
	}
	for _, m := range messages[:4] {
		_, err := k.desk.Take(t.Context(), []bot.Message{m})
		require.NoError(t, err, "one message at fault is passed over")
	}
	for range 3 { // it comes again at each start
		_, err := k.desk.Take(t.Context(), messages[4:])
		require.ErrorIs(t, err, bot.ErrCommonFault)
		k.restart()
	}
	asides := k.asides()
	require.Len(t, asides, 5, "each is kept, once")
	assert.False(t, asides[messages[4].Update], "it is not confirmed")
	assert.True(t, asides[messages[0].Update])

	k.mend(passerby(4))
	sendings, err := k.desk.Take(t.Context(), messages[4:])
	require.NoError(t, err)
	assert.Len(t, sendings, 1)
	assert.Len(t, k.asides(), 4, "it was handled after all")
	_, err = k.desk.Take(t.Context(), []bot.Message{k.breaking(passerby(9))})
	require.NoError(t, err, "the count begins anew")
}

// However many messages of one person break, or of a batch in which others are
// answered, the fault is in them.
func TestFaultOfSomeMessagesStopsNothing(t *testing.T) {
	k := newTalk(t)
	for range 12 {
		_, err := k.desk.Take(t.Context(), []bot.Message{k.breaking(bruno)})
		require.NoError(t, err)
	}
	var batch []bot.Message
	for n := range 12 {
		batch = append(batch, k.breaking(passerby(n)))
	}
	batch = append(batch, k.message(ada, private(ada), "gag 40m 3kg"))
	sendings, err := k.desk.Take(t.Context(), batch)
	require.NoError(t, err)
	assert.Len(t, sendings, 1)
	for _, seen := range k.asides() {
		assert.True(t, seen)
	}
	_, err = k.desk.Take(t.Context(), batch)
	require.NoError(t, err, "they are known when they come again")
}

// What was set aside is played again after an upgrade, and then gone.
func TestWhatWasSetAsideIsPlayedAgain(t *testing.T) {
	k := newTalk(t)
	m := k.breaking(bruno)
	_, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	k.mend(bruno)
	sendings, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	require.Empty(t, sendings, "it counts as seen")
	var raws [][]byte
	require.NoError(t, k.store.Update(func(tx *store.Tx) (err error) { raws, err = tx.PlayAgain(); return err }))
	require.Equal(t, [][]byte{m.Raw}, raws)
	sendings, err = k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	assert.Len(t, sendings, 1)
	assert.Empty(t, k.asides())
}
