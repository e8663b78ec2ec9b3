package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A depth in words that is read only from its last word is a wrong answer, so the
// parts must hold together, and two numbers must stay two.
func TestNumbersInWordsAreReadWhole(t *testing.T) {
	for text, want := range map[string]float64{
		"two hundred and forty": 240, "a hundred and ten": 110, "one hundred ten": 110, "twenty-five": 25, "eight and a half": 8.5,
		"one twenty": 1, "fifteen": 15, "a couple of": 2, "two point five": 2.5,
		"treinta y cinco": 35, "treinta y un": 31, "ciento veinte": 120, "doscientos cincuenta": 250, "dos y medio": 2.5, "cincuenta tres": 50,
		"trinta e cinco": 35, "cento e vinte": 120, "duzentos e dez": 210, "vinte e uma": 21, "tres e meio": 3.5,
		"soixante dix": 70, "soixante et onze": 71, "soixante-dix-sept": 77, "quatre-vingts": 80, "quatre vingt quinze": 95,
		"vingt et un": 21, "deux cents": 200, "deux cent cinquante": 250, "cent vingt": 120, "dix-huit": 18, "trois et demi": 3.5,
	} {
		tokens := scan(fold(text))
		n, ok := readNumberAt(tokens, 0)
		assert.True(t, ok, text)
		assert.Equal(t, want, n.value, text)
	}
}
