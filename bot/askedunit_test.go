package bot_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	memory "deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// labels are those of the first row of buttons.
func labels(r delivered) (list []string) {
	if len(r.Buttons) > 0 {
		for _, b := range r.Buttons[0] {
			list = append(list, b.Label)
		}
	}
	return list
}

// A tap of a unit does what its word does: the same answer, the same talk.
func TestTappedUnitDoesWhatTheWordDoes(t *testing.T) {
	for language, c := range map[string]struct{ ask, labels, typed string }{
		"en": {"gag 45 3kg", "45 m|45 ft|45 fathoms", "metres|feet|fathoms"},
		"es": {"cherna 45 3kg", "45 m|45 pies|45 brazas", "metros|pies|brazas"},
		"pt": {"cherne 45 3kg", "45 m|45 pés|45 braças", "metros|pés|braças"},
		"fr": {"badèche 45 3kg", "45 m|45 pieds|45 brasses", "mètres|pieds|brasses"},
	} {
		who := ada
		who.Language = language
		for i, word := range strings.Split(c.typed, "|") {
			label := strings.Split(c.labels, "|")[i]
			typed, tapped := newTalk(t), newTalk(t)
			typed.say(who, c.ask)
			want, wantTrace := traced(typed, func() delivered { return only(t, typed.say(who, word)) })
			asked := only(t, tapped.say(who, c.ask))
			assert.Equal(t, strings.Split(c.labels, "|"), labels(asked), asked.Text)
			got, gotTrace := traced(tapped, func() delivered { return only(t, tapped.tap(who, private(who), asked, label)) })
			assert.Equal(t, want.Text, got.Text, "%s %s", language, label)
			assert.Equal(t, asked.id, got.Edit, "the answer takes the place of the question")
			require.Len(t, gotTrace.Move.Fish, 1, word)
			assert.InDelta(t, 45*memory.DepthUnits[i].Factor, *gotTrace.Move.Fish[0].Query.DepthM, 1e-9)
			assert.Equal(t, wantTrace.Move.Fish, gotTrace.Move.Fish)
			assert.Equal(t, wantTrace.State.Fish, gotTrace.State.Fish)
			assert.Equal(t, wantTrace.State.Units, gotTrace.State.Units)
			assert.Equal(t, wantTrace.State.Asked, gotTrace.State.Asked)
		}
	}
}

// traced is a reply, and how its message was taken.
func traced(k *talk, say func() delivered) (r delivered, trace bot.Trace) {
	k.desk.Engine.Heard = func(t bot.Trace) { trace = t }
	return say(), trace
}

// Only the one who was asked may answer by a tap, and only while it is asked.
func TestUnitIsTappedByTheOneAskedAndWhileItIsAsked(t *testing.T) {
	k := newTalk(t)
	asked := only(t, k.tell(bruno, "gag 45 3kg"))
	require.Equal(t, []string{"45 m", "45 ft", "45 fathoms"}, labels(asked))
	k.tell(cleo, "gag 60 3kg")
	for _, where := range []bot.Chat{club, private(cleo)} {
		refusal(t, k.forge(cleo, where, asked.id, "unit 1 metres"), "unit 1 metres")
	}
	refusal(t, k.forge(bruno, club, asked.id, "unit 1 miles"), "unit 1 miles")
	refusal(t, k.forge(bruno, club, asked.id, "unit 2 metres"), "unit 2 metres")
	answer := only(t, k.tap(bruno, club, asked, "45 m"))
	assert.Contains(t, answer.Text, "SEND IT DOWN: 40 oz, to 45 m")
	assert.Equal(t, asked.id, answer.Edit)
	old := k.tap(bruno, club, asked, "45 ft")
	refusal(t, old, "45 ft after 45 m")
	assert.Equal(t, words.For("en", false).Say("press.old"), old[0].Text)
}

// What was asked too long ago, or was answered since, is asked no more.
func TestTapOfAStaleUnitSaysSo(t *testing.T) {
	k := newTalk(t)
	asked := only(t, k.say(ada, "gag 45 3kg"))
	k.now = k.now.Add(memory.AskLasts + time.Minute)
	refusal(t, k.tap(ada, private(ada), asked, "45 m"), "late")
	k = newTalk(t)
	asked = only(t, k.say(ada, "gag 45 3kg"))
	k.say(ada, "red grouper 30 m 4 kg")
	refusal(t, k.tap(ada, private(ada), asked, "45 m"), "another fish")
}

func TestReportAfterATappedUnitKeepsTheWordsOfTheQuestion(t *testing.T) {
	k := newTalk(t)
	asked := only(t, k.say(ada, "gag 45 3kg"))
	k.tap(ada, private(ada), only(t, k.tap(ada, private(ada), asked, "45 ft")), "Sent down")
	list := k.reports()
	require.Len(t, list, 1)
	assert.InDelta(t, 13.716, *list[0].DepthM, 1e-9)
	assert.Equal(t, "gag 45 3kg", list[0].Personal.Words)
}

// No fish here comes from 1,100 m, and the person's own unit stands first.
func TestUnitsThatAreOfferedArePlausible(t *testing.T) {
	k := newTalk(t)
	assert.Equal(t, []string{"650 m", "650 ft"}, labels(only(t, k.say(ada, "gag 650 3kg"))))
	k.say(bruno, "my units feet")
	assert.Equal(t, []string{"45 ft", "45 m", "45 fathoms"}, labels(only(t, k.say(bruno, "gag 45 3kg"))))
}

// A bare figure that was taken in the unit of the person or the region is said to be.
func TestUnitThatWasTakenIsSaid(t *testing.T) {
	for language, c := range map[string]struct{ ask, line string }{
		"en": {"gag 3kg", "45: taken as metres"}, "es": {"cherna 3kg", "45: tomado como metros"},
		"pt": {"cherne 3kg", "45: tomado como metros"}, "fr": {"badèche 3kg", "45\u00a0: compris en mètres"},
	} {
		k, who := newTalk(t), ada
		who.Language = language
		k.say(who, "my units metres")
		k.say(who, c.ask)
		answer, trace := traced(k, func() delivered { return only(t, k.say(who, "45")) })
		assert.Contains(t, answer.Text, c.line)
		assert.Contains(t, trace.Said, c.line)
	}
	k := newTalk(t)
	k.say(ada, "my units feet")
	k.say(ada, "log gag 140 ft sent down 40 oz swam off")
	changed, trace := traced(k, func() delivered { return only(t, k.say(ada, "no, was 145")) })
	assert.Contains(t, changed.Text, "\n145: taken as feet")
	assert.Equal(t, []string{"145: taken as feet"}, trace.Said)
	assert.InDelta(t, 145*0.3048, *k.reports()[0].DepthM, 1e-9)
	kept := only(t, k.say(ada, "log red grouper depth 150 sent down 40 oz swam off"))
	assert.Contains(t, kept.Text, "150: taken as feet")
}

// Each unit that a bare figure may be taken in has its name in each language.
func TestUnitsHaveNames(t *testing.T) {
	for _, u := range []string{"metres", "feet", "fathoms", "kilograms", "pounds", "centimetres", "inches", "fathom", "fathom.one"} {
		assert.True(t, words.Has("unit."+u), u)
	}
	assert.True(t, words.Has(string(understand.TakenAs)))
	assert.Equal(t, "1 braza", words.For("es", false).Told(1, "fathoms"))
}

// A second figure beside the depth is no other depth: what it is, is asked where the advice
// hangs on it.
func TestFigureWhoseRoleIsOpenIsAskedWithItsReadings(t *testing.T) {
	k := newTalk(t)
	asked := only(t, k.say(ada, "gag 25 m 12"))
	assert.Contains(t, asked.Text, "from 25 m")
	require.Equal(t, []string{"12 cm", "12 in"}, labels(asked))
	answer := only(t, k.tap(ada, private(ada), asked, "12 kg"))
	assert.Contains(t, answer.Text, "12 kg, from 25 m")
	assert.Contains(t, answer.Text, "40 + 20 oz")
}
