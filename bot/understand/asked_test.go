package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ounces that are asked about are a release weight, and those of a fish or a lure are none.
func TestOuncesAskedAboutAreAboard(t *testing.T) {
	for text, want := range map[string][]float64{
		"is a 24 oz enough for a 15 pound red or do i need the big one, were in 130'": {24},
		"gag 140 ft my jig is 8 oz":   nil,
		"gag 3 lb 8 oz 140 ft":        nil,
		"black sea bass 12 oz 80ft":   nil,
		"let go a gag 140 ft w 20 oz": nil,
	} {
		assert.Equal(t, want, hear("en", text).Aboard.ReleaseOz, text)
	}
}

// A number before a unit is never passed over: what cannot be read is not one pound.
func TestAPoundIsNotReadOutOfTwoHundred(t *testing.T) {
	r := hear("en", "just goliath grouper lol help. two hunnerd pounds. 55ft. barely moving")
	require.Len(t, r.Fish, 1)
	assert.InDelta(t, 90.718, *r.Fish[0].Query.WeightKg, 0.001)
	r = hear("en", "goliath grouper two zillyon pounds. 55ft. barely moving")
	require.Len(t, r.Fish, 1)
	if w := r.Fish[0].Query.WeightKg; w != nil {
		assert.NotEqual(t, 0.45359237, *w)
	}
}

// Who asks for help with a fish of which nothing was done wants to know what to do.
func TestAnAppealIsAQuestion(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		want Act
	}{
		"garoupa de 41 cm de 28 m, tem uma coisa pendurada na bunda. e agora": {"pt", ActQuestion},
		"le metí kilo y medio al pargo y ahora sí agarró fondo":               {"es", ActReport},
	} {
		assert.Equal(t, c.want, hear(c.lang, text).Act, text)
	}
}
