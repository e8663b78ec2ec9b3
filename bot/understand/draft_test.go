package understand

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A draft says what the reader heard, in the keys of the labelled texts, and its pieces
// stand in the text.
func TestDraftHasTheFormOfTheLabelledTexts(t *testing.T) {
	s := Setting{Region: "Australia west", Language: "en", Names: Taught{TaughtKey("wonkle"): dhufish}}
	d := NewReader().Draft("got 2 wonkles at 60 m, 5 kg, eyes popping, only a 20 oz aboard", s)
	data, err := json.Marshal(d)
	require.NoError(t, err)
	assert.JSONEq(t, `{"text": "got 2 wonkles at 60 m, 5 kg, eyes popping, only a 20 oz aboard", "lang": "en", "place": "Australia west",
		"act": "question", "want": "release", "fish": [{"name": "wonkles", "species": "Glaucosoma hebraicum", "count": 2, "depth_m": 60, "weight_kg": 5,
		"signs": ["bulging_eyes"]}], "aboard_oz": [20],
		"said": {"fish.0.count": "2", "fish.0.name": "wonkles", "fish.0.depth_m": "60 m", "fish.0.weight_kg": "5 kg", "fish.0.signs.bulging_eyes": "eyes popping",
		"aboard_oz": "20 oz"}}`, string(data))
	for _, text := range []string{"gag 30 fathoms let go at the top, floated", "un mero y dos pargos a 40 m, sangre en uno", "zorbie 45 3kg"} {
		d := NewReader().Draft(text, Setting{})
		assert.NotEmpty(t, d.Said, text)
		for key, piece := range d.Said {
			assert.True(t, strings.Contains(text, piece), "%s: %s", key, piece)
		}
	}
	assert.Equal(t, "", *NewReader().Draft("zorbie 45 m 3kg", Setting{}).Fish[0].Species, "nobody knows it")
}
