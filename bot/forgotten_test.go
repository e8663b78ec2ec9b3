package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// forgetMe is the command and the tap that confirms it.
func (k *talk) forgetMe(who bot.Person) {
	k.t.Helper()
	r := only(k.t, k.say(who, "/forget"))
	only(k.t, k.tap(who, private(who), r, "Yes"))
}

func (k *talk) edit(m bot.Message, text string) []delivered {
	k.t.Helper()
	k.ids++
	m.Update, m.Edited, m.Text, m.ReceivedAt = catch.UpdateID(9000+k.ids), true, text, k.now
	return k.take(m)
}

func TestEditOfAMessageFromBeforeTheForgettingBringsNothingBack(t *testing.T) {
	for name, where := range map[string]bot.Chat{"private": private(ada), "group": club} {
		for _, before := range []string{"log gag 40 m sent down 40 oz", "gag 40 m 3 kg", "nice weather"} {
			k := newTalk(t)
			m := k.message(ada, where, before)
			m.Addressed = true
			k.take(m)
			k.now = k.now.Add(time.Hour)
			k.forgetMe(ada)
			reports := len(k.reports())
			k.now = k.now.Add(time.Hour)
			assert.Empty(t, k.edit(m, "log gag 41 m sent down 40 oz"), "%s %s", name, before)
			list := k.reports()
			assert.Len(t, list, reports, "%s %s", name, before)
			for _, r := range list {
				assert.Zero(t, r.Who)
				assert.Empty(t, r.Personal.Words)
			}
		}
	}
}

func TestMessagesAfterTheForgettingAreEditedAsEver(t *testing.T) {
	k := newTalk(t)
	k.forgetMe(ada)
	k.now = k.now.Add(time.Minute)
	m := k.message(ada, private(ada), "log gag 40 m sent down 40 oz")
	k.take(m)
	k.edit(m, "log gag 41 m sent down 40 oz")
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, 41.0, *list[0].DepthM)
}

// Who organises a club and who asked to is of a person as well.
func TestRoleIsToldAndForgotten(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/organiser")
	k.tell(bruno, "/organiser")
	kept := func(who bot.Person) (out bot.Kept) {
		require.NoError(t, k.store.View(func(tx *store.Tx) (err error) { out, err = bot.KeptOf(tx, who.ID); return err }))
		return out
	}
	assert.Len(t, kept(ada).Organises, 1)
	assert.Empty(t, kept(ada).Wishes)
	assert.Len(t, kept(bruno).Wishes, 1)
	assert.Contains(t, only(t, k.say(ada, "/forget")).Text, "That you are an organiser of "+club.Title+" goes too")
	assert.NotContains(t, only(t, k.say(bruno, "/forget")).Text, "organiser")
	elsewhere := k.message(ada, bot.Chat{ID: -901, Group: true, Title: "Elsewhere"}, "/forget")
	elsewhere.Addressed = true
	assert.NotContains(t, only(t, k.take(elsewhere)).Text, club.Title, "what she is there is nobody's business here")
	k.forgetMe(ada)
	k.forgetMe(bruno)
	for _, who := range []bot.Person{ada, bruno} {
		assert.Empty(t, kept(who).Organises)
		assert.Empty(t, kept(who).Wishes)
	}
	k.tell(cleo, "/organiser")
	k.forgetMe(ada)
	assert.Len(t, kept(cleo).Wishes, 1, "that of another stays")
}
