package words_test

import (
	"encoding/json"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/words"
)

func catalogue(t *testing.T, language string) map[string]any {
	t.Helper()
	data, err := os.ReadFile(language + ".json")
	require.NoError(t, err)
	var all map[string]any
	require.NoError(t, json.Unmarshal(data, &all))
	return all
}

var verb = regexp.MustCompile(`%\[(\d)\][sd]`)

func places(v any) map[string]bool {
	found := map[string]bool{}
	data, _ := json.Marshal(v)
	for _, m := range verb.FindAllStringSubmatch(string(data), -1) {
		found[m[0]] = true
	}
	return found
}

// A sentence that is missing would fall back to English; this lists what is missing.
func TestTranslationsFitTheEnglish(t *testing.T) {
	english := catalogue(t, "en")
	for _, language := range advisor.BaseLanguages()[1:] {
		other := catalogue(t, language)
		var missing []string
		for key := range english {
			if _, ok := other[key]; !ok {
				missing = append(missing, key)
			}
		}
		assert.Empty(t, missing, "%s: %d of %d sentences would be said in English", language, len(missing), len(english))
		for key, sentence := range other {
			require.Contains(t, english, key, "%s has a sentence that English lacks", language)
			assert.Equal(t, places(english[key]), places(sentence), "%s %s", language, key)
		}
	}
}

// The sheet of Brazil holds what is said there in another way, and what it leaves to
// Portugal has no spelling that is Portugal's alone.
func TestBrazilReadsItsOwnPortuguese(t *testing.T) {
	sheet, portugal := catalogue(t, "pt-BR"), catalogue(t, "pt")
	for key, sentence := range sheet {
		require.Contains(t, portugal, key)
		assert.NotEqual(t, portugal[key], sentence, "%s says the same as pt.json", key)
		assert.Equal(t, places(portugal[key]), places(sentence), key)
	}
	european := regexp.MustCompile(`(?i)\b(registos?|registar|ficheiro|definições|partilh\w+|época|porquê|hipóteses|telefone|rutura|a (nadar|boiar|balançar)\b|de si\b|até à|diga-me|envie-me|escreva-me|saltar\.)`)
	for key := range portugal {
		if key == "button.floated" || key == "step.skips" {
			continue // "voltou a boiar" is good in both; what people type is theirs to choose
		}
		said := words.For("pt-br", false).Say(key, "a", "b", "c", "d", "e", "f")
		assert.NotRegexp(t, european, said, key)
	}
	assert.Equal(t, "Compartilhar com o clube", words.For("pt-br", false).Say("button.share"))
	assert.Equal(t, "Partilhar com o clube", words.For("pt-PT", false).Say("button.share"))
	assert.Equal(t, "Partilhar com o clube", words.For("pt", false).Say("button.share"))
	assert.Equal(t, "pt", words.For("pt-br", false).Language())
	assert.Equal(t, "espinhos venenosos nas nadadeiras", words.For("pt-BR", false).Hazard("venomous fin spines"))
}

// Units that a language writes out, one and many; a list whose figures have commas.
func TestUnitsAreWrittenOut(t *testing.T) {
	assert.Equal(t, "98 pies", words.For("es", true).Depth(30))
	assert.Equal(t, "98 pés", words.For("pt-BR", true).Depth(30))
	assert.Equal(t, "1 pied", words.For("fr", true).Depth(0.3))
	assert.Equal(t, "6,6 livres", words.For("fr", true).Mass(3))
	assert.Equal(t, "20,5 pulgadas", words.For("es", true).Length(52))
	assert.Equal(t, "20, 40 y 60 oz", words.For("es", false).ListOunces([]float64{20, 40, 60}))
	assert.Equal(t, "17,6; 20 e 35,3 oz", words.For("pt", false).ListOunces([]float64{17.6, 20, 35.3}))
	assert.Equal(t, "20 and 40 oz", words.For("en", true).ListOunces([]float64{20, 40}))
}

// Who has weights of 500 g and 1 kg reads grams; who has ounces reads ounces.
func TestReleaseWeightsAreInTheUnitTheyAreSoldIn(t *testing.T) {
	assert.True(t, words.SoldInGrams([]float64{17.6, 35.3}))
	assert.False(t, words.SoldInGrams([]float64{20, 40, 60}))
	assert.False(t, words.SoldInGrams([]float64{17.6, 40}))
	assert.False(t, words.SoldInGrams(nil))
	v := words.For("fr", false)
	v.Grams = true
	assert.Equal(t, "500 g", v.Ounces(17.6))
	assert.Equal(t, "500 g et 1 kg", v.ListOunces([]float64{17.6, 35.3}))
	assert.Equal(t, "1 kg + 500 g", v.OuncesTogether([]float64{35.3, 17.6}))
	assert.Equal(t, "1,25 kg", v.Ounces(44.1))
}

func TestUnknownLanguageFallsBackToEnglish(t *testing.T) {
	assert.Equal(t, "fr", words.For("fr-CA", false).Language())
	assert.Equal(t, "en", words.For("zz", false).Language())
	assert.Equal(t, words.For("en", false).Say("about.setup"), words.For("de", false).Say("about.setup"))
}

// One fish, two fish: the forms of each language, as CLDR has them (French counts 0 and
// 1.5 as one, English and Spanish only 1).
func TestPluralsAreRight(t *testing.T) {
	for language, want := range map[string][3]string{
		"en": {"0 days at liberty", "1 day at liberty", "2 days at liberty"},
		"es": {"0 días en libertad", "1 día en libertad", "2 días en libertad"},
		"pt": {"0 dias em liberdade", "1 dia em liberdade", "2 dias em liberdade"},
		"fr": {"0 jour en liberté", "1 jour en liberté", "2 jours en liberté"},
	} {
		for n, text := range want {
			if language != "pt" || n > 0 { // 0 in Portuguese differs by country
				assert.Equal(t, text, words.For(language, false).Say("tag.liberty", n), language)
			}
		}
	}
}

func TestQuantities(t *testing.T) {
	metric, imperial := words.For("en", false), words.For("en", true)
	assert.Equal(t, "45 m", metric.Depth(45))
	assert.Equal(t, "148 ft", imperial.Depth(45))
	assert.Equal(t, "2.4 kg", metric.Mass(2.4))
	assert.Equal(t, "2,4 kg", words.For("pt", false).Mass(2.4))
	assert.Equal(t, "450 g", metric.Mass(0.45))
	assert.Equal(t, "6.6 lb", imperial.Mass(3))
	assert.Equal(t, "190–430 g", metric.PullRange(186, 433))
	assert.Equal(t, "840 g–1.3 kg", metric.PullRange(841, 1320))
	assert.Equal(t, "40 + 20 oz", metric.OuncesTogether([]float64{40, 20}))
	assert.Equal(t, "about 7 in 10", metric.InTen(0.68))
	assert.Equal(t, "5–8", metric.InTenRange(0.52, 0.77))
	assert.Equal(t, "35 s", metric.Duration(34))
}

// French sets a space before : ; ? and ! and inside its quotes, and a line may not break there.
func TestFrenchSpacesDoNotBreak(t *testing.T) {
	v := words.For("fr", false)
	for key := range catalogue(t, "fr") {
		assert.NotRegexp(t, ` [:;?!»]|« `, v.Say(key, "a", "b", "c", "d", "e", "f"), key)
	}
	assert.Equal(t, "Pourquoi\u00a0?", v.Say("button.why"))
	assert.Equal(t, "Why?", words.For("en", false).Say("button.why"))
}

// What a sentence does not use, such as the fish in "it is too weak", is left out.
func TestSentenceNeedNotUseWhatItIsGiven(t *testing.T) {
	for _, tag := range words.Languages {
		base := tag
		for key, sentence := range catalogue(t, base.String()) {
			if text, plain := sentence.(string); plain && len(places(text)) == 0 {
				assert.NotContains(t, words.For(base.String(), false).Say(key, "red snapper"), "%!", "%s of %s", key, base)
			}
		}
	}
}
