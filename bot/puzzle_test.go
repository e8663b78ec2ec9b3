package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/understand"
	"deepward/store"
)

// puzzlesOf are the pieces that are kept of a person, by kind.
func (k *talk) puzzlesOf(who bot.Person) map[store.PuzzleKind][]string {
	k.t.Helper()
	found := map[store.PuzzleKind][]string{}
	require.NoError(k.t, k.store.View(func(tx *store.Tx) error {
		list, err := tx.PuzzlesOf(who.ID)
		for _, p := range list {
			found[p.Kind] = append(found[p.Kind], p.Piece)
		}
		return err
	}))
	return found
}

func TestWhatWasNotUnderstoodIsKept(t *testing.T) {
	k := inTheWest(t, ada)
	k.say(ada, "wonkle 60m 5kg")
	assert.Equal(t, map[store.PuzzleKind][]string{store.PuzzleAsked: {"wonkle"}}, k.puzzlesOf(ada), "a name that nobody knows")
	k = newTalk(t)
	k.say(ada, "gag 45 3kg")
	assert.Equal(t, map[store.PuzzleKind][]string{store.PuzzleAsked: {"gag # #kg"}}, k.puzzlesOf(ada), "a figure without a unit")
	k = newTalk(t)
	k.say(ada, "gag 45m plorking 3kg")
	assert.Equal(t, []string{"plorking"}, k.puzzlesOf(ada)[store.PuzzleUnread])
	k = newTalk(t)
	k.say(ada, "log gag 40 m sent down 40 oz swam off")
	k.now = k.now.Add(time.Minute)
	k.say(ada, "no, was 45 m")
	assert.Equal(t, map[store.PuzzleKind][]string{store.PuzzleCorrected: {"log gag # m sent down # oz swam off"}}, k.puzzlesOf(ada))
	k = newTalk(t)
	k.say(ada, "log gag 40 m sent down 40 oz swam off")
	k.now = k.now.Add(time.Hour)
	k.say(ada, "no, was 45 m")
	assert.Empty(t, k.puzzlesOf(ada), "a second thought")
}

// What was understood, commands, talk and what others say in a group leave nothing.
func TestWhatWasUnderstoodIsNotKept(t *testing.T) {
	k := newTalk(t)
	for _, text := range []string{"red snapper 45m 3kg eyes bulging", "why", "log gag 40 m sent down 40 oz swam off", "/mine", "thanks mate", "hook in my hand"} {
		k.say(ada, text)
		assert.Empty(t, k.puzzlesOf(ada), text)
	}
	k.take(k.message(bruno, club, "wonkle 60m 5kg blorbish"))
	assert.Empty(t, k.puzzlesOf(bruno), "not said to the bot")
}

// Nobody's name and no place of anybody stands in what is kept.
func TestWhatIsKeptTellsNobody(t *testing.T) {
	k := newTalk(t)
	for _, text := range []string{
		"wonkle 60m 5kg with Bob Fenwright off Zarrow Head", "log Bob Fenwright 40 m", "Fenwright's gag 45 3kg",
		"pesqué un wonkle a 60 m con Ana Fenwright en Zarrow", "wonkle 40 m tag AAD000123, call 0412 345 678", "wonkle at 31.2345 S 18.6543 W, 60 m",
	} {
		k.say(ada, text)
	}
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		list, err := tx.PuzzlesOf(ada.ID)
		assert.NotEmpty(t, list)
		for _, p := range list {
			for _, name := range []string{"ob", "enwright", "arrow", "na ", "000123", "0412", "2345", "6543"} {
				assert.NotContains(t, p.Text, name)
				assert.NotContains(t, p.Piece, name)
			}
		}
		return err
	}))
}

func TestWhatIsKeptGoesWithItsPerson(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "wonkle 60m 5kg")
	k.say(bruno, "wonkle 60m 5kg")
	k.forgetMe(ada)
	assert.Empty(t, k.puzzlesOf(ada))
	assert.NotEmpty(t, k.puzzlesOf(bruno))
}

// Names that people taught come along, where they agree.
func TestNamesThatWereTaughtAreKnownToWhoTeaches(t *testing.T) {
	k := organisedClub(t)
	k.say(ada, "wonkle means dhufish")
	k.say(bruno, "wonkle means dhufish")
	k.say(ada, "zorbie means dhufish")
	k.say(bruno, "zorbie means gag")
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		assert.Equal(t, understand.Taught{"wonkle": dhufish}, bot.NamesTaught(tx))
		return nil
	}))
}
