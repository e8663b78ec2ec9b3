package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// A name that is told again takes what follows it, and the sum of the fish is no count of one.
func TestANameToldAgainTakesWhatFollows(t *testing.T) {
	for text, lang := range map[string]string{
		"two fish on deck gag and a scamp, 52 m both, scamp's guts in his mouth":        "en",
		"j'ai un denti et un pagre, 75 m les deux, le pagre a l'estomac dans la bouche": "fr",
	} {
		r := hear(lang, text)
		require.Len(t, r.Fish, 2, text)
		assert.Empty(t, r.Fish[0].Query.Signs, text)
		assert.Equal(t, []advisor.Sign{advisor.EvertedStomach}, r.Fish[1].Query.Signs, text)
		assert.Equal(t, []int{1, 1}, []int{r.Fish[0].Query.Count, r.Fish[1].Query.Count}, text)
	}
}

// A name in a report of several fish of the talk goes with the end behind it.
func TestANameGoesWithTheEndBehindIt(t *testing.T) {
	for _, text := range []string{
		"sent both down with the 32, gag swam off, scamp floated",
		"sent both down, the gag swam off, the scamp floated",
		"gag swam off, scamp floated",
	} {
		r := hear("en", text, "gag", "scamp")
		require.Len(t, r.Fish, 2, text)
		assert.Equal(t, []string{"gag", "scamp"}, []string{r.Fish[0].Name, r.Fish[1].Name}, text)
		assert.Equal(t, advisor.FloatedOff, r.Fish[1].Done.Outcome, text)
	}
}

// A sign "on" a fish is its own, and "both reds" are none but the reds.
func TestASignOnAFishIsItsOwn(t *testing.T) {
	r := hear("en", "opakapaka and a ehu same time, drop was 110 fathoms. eyes out on the ehu")
	require.Len(t, r.Fish, 2)
	assert.Empty(t, r.Fish[0].Query.Signs)
	assert.Equal(t, []advisor.Sign{advisor.BulgingEyes}, r.Fish[1].Query.Signs)

	r = hear("en", "2 reds n a scamp on the deck at once, 140 ft. both reds blowed up like footballs scamp got its gut hangin out")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []advisor.Sign{advisor.BloatedBelly}, r.Fish[0].Query.Signs)
	assert.Equal(t, []advisor.Sign{advisor.EvertedStomach}, r.Fish[1].Query.Signs)
}

// One of several that were counted is a fish of its own.
func TestOneOfSeveralIsAFishOfItsOwn(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		all  int
	}{
		"dois gorazes de 180 m, um com os olhos de fora":    {"pt", 2},
		"dos meros a 45 m, uno con los ojos saltones":       {"es", 2},
		"3 red snapper 120 ft, one has its eyes popping":    {"en", 3},
		"2 red snapper 120 ft one with its eyes popped out": {"en", 2},
	} {
		r := hear(c.lang, text)
		require.Len(t, r.Fish, 2, text)
		assert.Equal(t, []int{c.all, 1}, []int{r.Fish[0].Query.Count, r.Fish[1].Query.Count}, text)
		assert.Empty(t, r.Fish[0].Query.Signs, text)
		assert.Equal(t, []advisor.Sign{advisor.BulgingEyes}, r.Fish[1].Query.Signs, text)
	}
	assert.Len(t, hear("en", "2 red snapper 120 ft, one 40 oz weight aboard").Fish, 1)
}

// What was done before the words tell how each went was done with all of them.
func TestWhatWasDoneWithAllIsOfEach(t *testing.T) {
	for text, lang := range map[string]string{
		"desci os dois com 3 libras, o maior foi, o menor não sei": "pt",
		"descemos, 3 libras. uma foi, a outra boiou":               "pt",
	} {
		r := hear(lang, text, "pargo")
		require.Len(t, r.Fish, 2, text)
		for _, f := range r.Fish {
			assert.Equal(t, []float64{48}, f.Done.WeightsOz, text)
			assert.Equal(t, advisor.Recompressed, f.Done.Method, text)
		}
	}
	r := hear("fr", "pagre 70 m 2 kg, 32 oz, disparu au fond. denti 64 m 7 kg, 60 oz, flottait")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []float64{60}, r.Fish[1].Done.WeightsOz, "each has its own")
}

// The number behind the word tag is that of a tag, whatever else it may be.
func TestTheNumberOfATagIsNoDepth(t *testing.T) {
	r := hear("en", "log gag 40 m let go at the top tag K77")
	require.Len(t, r.Fish, 1)
	assert.Equal(t, "K77", r.Fish[0].Done.Tag)
	assert.Equal(t, 40.0, *r.Fish[0].Query.DepthM)

	r = hear("en", "scamp 60 m sent down 20 oz swam off, gag 40 m let go at the top tag K77")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []string{"", "K77"}, []string{r.Fish[0].Done.Tag, r.Fish[1].Done.Tag})
}

// Words for the same weight, another try and a way down without help are no further fish.
func TestWordsOfATryAreNoFurtherFish(t *testing.T) {
	assert.True(t, hear("pt", "com a mesma, desceu", "goraz").Again.Deed)
	assert.True(t, hear("es", "con la misma y bajó", "mero").Again.Deed)
	assert.True(t, hear("en", "it went down on its own", "gag").Again.Alone)
	assert.True(t, hear("fr", "il est remonté", "lieu").Again.Returned)
	a := hear("en", "the second try went down", "gag").Again
	assert.Zero(t, a.Nth)
	assert.False(t, a.Another)
	assert.False(t, hear("es", "otra vez flotando", "mero").Again.Another)
}

// "Delete this grouper" is a report taken back, not the person.
func TestAFishThatIsDeletedIsNoPerson(t *testing.T) {
	assert.Equal(t, WantUndo, hear("fr", "supprime ce mérou, mon fils veut le saisir lui-même", "mérou").Want)
	assert.Equal(t, WantForget, hear("en", "delete all my data").Want)
}

// A place is no fish where a fish is named beside it.
func TestAPlaceIsNoFish(t *testing.T) {
	r := NewReader().Read("soy guía en Santa Cruz, un bacalao de 5 kilos en 33 metros", Setting{Language: "es", Region: "Galápagos"}, learned.Context{})
	require.Len(t, r.Fish, 1)
	assert.Equal(t, "bacalao", r.Fish[0].Name)
}
