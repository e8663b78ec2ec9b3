package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
)

// letterOf is the letter that a person gets who asks for it.
func (k *talk) letterOf(who bot.Person, ask string) string {
	k.t.Helper()
	r := only(k.t, k.say(who, ask))
	require.NotNil(k.t, r.Attach, r.Text)
	require.Equal(k.t, bot.FileLetter, r.Attach.Kind)
	f, err := files.New(k.store, func() time.Time { return k.now }).Make(k.t.Context(), *r.Attach)
	require.NoError(k.t, err)
	return f.Caption
}

func TestLetterThanksAnAnglerForTheirOwnYear(t *testing.T) {
	k := newTalk(t)
	for range 12 {
		k.say(bruno, "log red snapper 45 m 3 kg sent down 40 oz swam off")
	}
	k.say(bruno, "log gag 40 m let go at the top tag K77")
	k.say(cleo, "log gag 41 m kept tag K77")
	k.say(cleo, "log scamp 60 m sent down 40 oz")

	letter := k.letterOf(bruno, "/letter")
	assert.Contains(t, letter, "Thank you, Bruno, for 2")
	assert.Contains(t, letter, "Fish that you let go: 13")
	assert.Contains(t, letter, "sent back down: 12")
	assert.Contains(t, letter, "Tags that you put in: 1. Seen again so far: 1")
	assert.Contains(t, letter, "Red snapper")
	assert.NotContains(t, letter, "Scamp", "what others caught is theirs")
	assert.NotContains(t, letter, "Cleo")
	assert.Contains(t, k.letterOf(bruno, "/letter 1999"), "No report of yours in that year")
	assert.Contains(t, k.letterOf(ada, "my letter"), "No report of yours")
	k.say(bruno, "my language es")
	assert.Contains(t, k.letterOf(bruno, "/letter"), "Gracias, Bruno")
}

func TestOrganiserTellsTheGroupThatLettersAreThere(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.tell(bruno, "/letter")).Text, "in private")
	told := only(t, k.tell(ada, "/letter"))
	require.Len(t, told.Buttons, 1)
	assert.Equal(t, "letter", told.Buttons[0][0].Start, "each opens their own; nobody is written to unasked")
	assert.Contains(t, k.letterOf(bruno, "/start letter"), "No report of yours")
}
