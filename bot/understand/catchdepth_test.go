package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand/learned"
)

// The depth of the fish is neither that of the bottom nor the length of the line; the run of
// the water is not how the fish swims. Common practice, no source.
func TestDepthOfTheFishAmongOthers(t *testing.T) {
	for text, want := range map[string]float64{
		"45 m gag but my line only reaches 25 m": 45,
		"snapper 250m eyes out, 30 m of line":    250,
		"midwater at 20m, bottom 60m snapper":    20,
		"snapper 30 m over 80 m":                 30,
		"mero de 40 m, fondo 60 m":               40,
		"garoupa 60 mts de fundo":                60,
	} {
		r := NewReader().Read(text, Setting{}, learned.Context{})
		require.Len(t, r.Fish, 1, text)
		require.NotNil(t, r.Fish[0].Query.DepthM, text)
		assert.InDelta(t, want, *r.Fish[0].Query.DepthM, 1e-9, text)
	}
	for _, text := range []string{"gag 45 m 4 kg, strong current", "mero 40 m 3 kg corriente fuerte", "garoupa 40 m 3 kg corrente forte"} {
		r := NewReader().Read(text, Setting{}, learned.Context{})
		require.Len(t, r.Fish, 1, text)
		assert.Empty(t, r.Fish[0].Query.Behaviour, text)
	}
}
