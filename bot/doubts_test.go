package bot_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
)

func TestReportedFishLargerThanKnownIsAskedBackAndKeptIfConfirmed(t *testing.T) {
	for _, text := range []string{
		"log red snapper 45 m 60 kg sent down 40 oz",
		"log red snapper 45 m 190 cm sent down 40 oz",
		"released a red snapper 45 m 60 kg, let go at the top",
	} {
		k := newTalk(t)
		r := only(t, k.say(ada, text))
		assert.Contains(t, r.Text, "larger than red snapper is known to grow", text)
		assert.Equal(t, []string{bot.DoubtSizeForSpecies}, k.reports()[0].Flags, text)
		r = only(t, k.tap(ada, private(ada), r, "right"))
		assert.NotContains(t, r.Text, "Odd", text)
		list := k.reports()
		require.Len(t, list, 1, text)
		assert.Equal(t, []string{bot.DoubtSizeForSpecies, bot.Confirmed}, list[0].Flags, text)
		assert.True(t, list[0].WeightKg != nil && *list[0].WeightKg == 60 || *list[0].LengthCm == 190, text)
	}
}

func TestOversizedFishIsCorrectedByAReplyAndLosesItsDoubt(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "log red snapper 45 m sent down 40 oz"))
	assert.NotContains(t, r.Text, "Odd")
	answer := func(text string) delivered {
		m := k.message(ada, private(ada), text)
		m.ReplyTo, m.ReplyToBot = r.id, true
		return only(t, k.take(m))
	}
	assert.Contains(t, answer("it was 60 kg").Text, "larger than")
	assert.Equal(t, 60.0, *k.reports()[0].WeightKg)
	assert.NotContains(t, answer("it was 6 kg").Text, "larger than")
	assert.Empty(t, k.reports()[0].Flags)
}

func TestSizeThatNoFishReachesIsStillRefused(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "log red snapper 45 m 900 kg sent down 40 oz"))
	assert.Contains(t, r.Text, "Check the figure")
	assert.Nil(t, k.reports()[0].WeightKg)
}

// Advice never rests on such a size, however it came into the question.
func TestAdviceSaysThatASizeIsOff(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ada, "red snapper 45m 60kg")).Text, "too heavy for red snapper")
	k.say(ada, "red snapper 45m")
	assert.Contains(t, only(t, k.say(ada, "60 kg")).Text, "too heavy for red snapper", "a follow-up")
}

func TestSizeToldAfterATapIsAskedBackToo(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m"))
	only(t, k.tap(ada, private(ada), r, "Kept"))
	assert.Contains(t, only(t, k.say(ada, "60 kg")).Text, "larger than")
	assert.Equal(t, 60.0, *k.reports()[0].WeightKg)
}

// The tap said what was done; other words of the question do not unsay it.
func TestEditedQuestionKeepsWhatWasTapped(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, private(ada), "red snapper 45m 3kg")
	r := only(t, k.take(m))
	k.tap(ada, private(ada), r, "Sent down")
	m.Update, m.Edited, m.Text = 5000, true, "red snapper 48m 60kg"
	assert.Contains(t, only(t, k.take(m)).Text, "larger than")
	list := k.reports()
	require.Len(t, list, 1)
	assert.Equal(t, 48.0, *list[0].DepthM)
	assert.Equal(t, advisor.Recompressed, list[0].Method)
	assert.Equal(t, []float64{40}, list[0].WeightsOz)
}
