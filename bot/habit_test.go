package bot_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/bot/words"
)

const metresInFoot, metresInFathom = 0.3048, 1.8288

// After a few messages in one unit a bare depth is taken in it, in any chat, and said so;
// it shows in the settings, and another choice goes before it.
func TestUnitsAreLearntFromHowAPersonWrites(t *testing.T) {
	for _, c := range []struct {
		language, write, ask string
		factor               float64
		said, shown          string
	}{
		{"en", "gag %d ft 6 lb", "gag 140 7 lb", metresInFoot, "140: taken as feet, as you write", "Units, as you write: feet and pounds"},
		{"es", "cherna a %d brazas", "cherna 25 3kg", metresInFathom, "25: tomado como brazas, como escribes", "Unidades, como las escribes: brazas"},
		{"pt", "cherne a %d m", "cherne 45 3kg", 1, "45: tomado como metros, como escreve", "Unidades, como as escreve: metros"},
		{"fr", "badèche à %d brasses", "badèche 25 3kg", metresInFathom, "25\u00a0: compris en brasses, comme tu écris", "comme tu les écris\u00a0: brasses"},
	} {
		k, who := newTalk(t), bruno
		who.Language = c.language
		for i := range 3 {
			k.say(who, fmt.Sprintf(c.write, 30+10*i%40))
		}
		answer, trace := traced(k, func() delivered { return only(t, k.tell(who, c.ask)) })
		assert.Contains(t, answer.Text, c.said, c.language)
		var bare float64
		_, err := fmt.Sscanf(c.said, "%f", &bare)
		assert.NoError(t, err)
		assert.InDelta(t, bare*c.factor, *trace.Answered[0].DepthM, 1e-9)
		assert.Contains(t, only(t, k.say(who, "/settings")).Text, c.shown)
		k.say(who, "my units metres")
		assert.NotContains(t, only(t, k.say(who, "/settings")).Text, c.shown)
		_, trace = traced(k, func() delivered { return only(t, k.tell(who, c.ask)) })
		assert.InDelta(t, bare, *trace.Answered[0].DepthM, 1e-9, "what is set goes before")
		k.say(who, "my units auto")
		asked := only(t, k.tell(who, "/settings"))
		assert.NotContains(t, asked.Text, c.shown, "learnt anew")
	}
}

// Two messages say nothing yet: the unit is asked.
func TestUnitIsAskedUntilItIsKnown(t *testing.T) {
	k := newTalk(t)
	k.say(bruno, "gag 30 fathoms 6 lb")
	k.say(bruno, "red grouper 20 fathoms 6 lb")
	assert.Equal(t, words.For("en", false).Told(25, "fathoms"), labels(only(t, k.say(bruno, "scamp 25 3kg")))[0])
}

// Who writes metres is not read in feet because the club has set them.
func TestHabitGoesBeforeTheUnitsOfTheClub(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/setup units feet")
	for i := range 3 {
		k.tell(bruno, fmt.Sprintf("gag %d m 3 kg", 40+i))
	}
	_, trace := traced(k, func() delivered { return only(t, k.tell(bruno, "scamp 45 3kg")) })
	assert.InDelta(t, 45, *trace.Answered[0].DepthM, 1e-9)
}

func TestFathomsCanBeSet(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(bruno, "my units fathoms")).Text, "Units: fathoms, feet and pounds")
	k.say(bruno, "gag 6 lb")
	_, trace := traced(k, func() delivered { return only(t, k.say(bruno, "25")) })
	assert.InDelta(t, 25*metresInFathom, *trace.Answered[0].DepthM, 1e-9)
}
