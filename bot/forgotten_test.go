package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
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
