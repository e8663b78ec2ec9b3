package words_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/words"
)

// What can hurt the hand is said in the reader's language, whatever the fish.
func TestEveryHazardIsTranslated(t *testing.T) {
	fish := slices.Concat(advisor.Catalogue(), advisor.HigherTaxa(), []*advisor.Species{advisor.General()})
	for _, n := range advisor.GazetteerNames()[:5000] { // a tenth of them has every family of note
		if s := advisor.LookUp(n.Taxon); s != nil {
			fish = append(fish, s)
		}
	}
	for _, language := range advisor.BaseLanguages()[1:] {
		v := words.For(language, false)
		for _, s := range fish {
			for phrase := range strings.SplitSeq(s.Hazard, ";") {
				if phrase = strings.TrimSpace(phrase); phrase != "" && phrase != "canines" {
					assert.NotEqual(t, phrase, v.Hazard(phrase), "%s: %s", language, s.ScientificName)
				}
			}
		}
	}
	assert.Equal(t, "canine teeth; spines", words.For("en", false).Hazard("canine teeth; spines"))
	assert.Equal(t, "dents canines\u00a0; something new", words.For("fr", false).Hazard("canine teeth; something new"))
}

// Every region that a chat can be set to has a name in every language.
func TestEveryRegionIsNamed(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range advisor.Regions() {
		seen[r.Name] = true
	}
	for _, s := range advisor.Catalogue() {
		for _, r := range s.Regions {
			seen[r] = true
		}
	}
	rows, err := csv.NewReader(strings.NewReader(readFile(t, "regions.csv"))).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		delete(seen, row[0])
		for i, name := range row {
			assert.NotEmpty(t, name, "%s in %s", row[0], rows[0][i])
		}
	}
	assert.Empty(t, seen, "regions without a name")
	assert.Equal(t, "Mediterráneo", words.For("es", false).Region("Mediterranean"))
	assert.Equal(t, "Mediterranean", words.For("en", false).Region("Mediterranean"))
}

func readFile(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}
