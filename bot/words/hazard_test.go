package words_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/bot/words"
)

// What can hurt the hand is said in the reader's language, whatever the fish.
func TestEveryHazardIsTranslated(t *testing.T) {
	for _, language := range []string{"es", "pt", "fr"} {
		v := words.For(language, false)
		for _, s := range slices.Concat(advisor.Catalogue(), advisor.HigherTaxa(), []*advisor.Species{advisor.General()}) {
			for phrase := range strings.SplitSeq(s.Hazard, ";") {
				if phrase = strings.TrimSpace(phrase); phrase != "" && phrase != "canines" {
					assert.NotEqual(t, phrase, v.Hazard(phrase), "%s: %s", language, s.ScientificName)
				}
			}
		}
	}
	assert.Equal(t, "canine teeth; spines", words.For("en", false).Hazard("canine teeth; spines"))
	assert.Equal(t, "dents canines ; something new", words.For("fr", false).Hazard("canine teeth; something new"))
}
