package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a kilo or a pound is told with belongs to it and is no weight of its own.
func TestPiecesOfLead(t *testing.T) {
	const ouncesInKilogram = 35.27396195
	for text, want := range map[string][]float64{
		"2 kilos y 8":                         {2.8 * ouncesInKilogram},
		"1 kg 5":                              {1.5 * ouncesInKilogram},
		"two 8 oz":                            {8, 8},
		"16 24 40":                            {16, 24, 40},
		"2 lb":                                {32},
		"a 20 and a 3 lb":                     {20, 48},
		"2 pesas una de 3 libras y otra de 5": {48, 80},
		"2 pesas de 3 libras":                 {48, 48},

		"una de 3 libras y otra de 5":   {48, 80},
		"a 2, a 4, a 6 lb":              {32, 64, 96},
		"una de kilo y otra de 2 kilos": {ouncesInKilogram, 2 * ouncesInKilogram},
	} {
		f := foldPlaced(text)
		h := hearing{text: text, folded: f, tokens: scan(f.text)}
		s := span{tag: "aboard_oz", from: 0, to: len(h.tokens)}
		for layer := range h.scores.Tags {
			h.scores.Tags[layer] = make([]string, len(h.tokens))
		}
		h.found = h.quantities(s)
		assert.InDeltaSlice(t, want, h.ouncesIn(s), 1e-4, text)
	}
}
