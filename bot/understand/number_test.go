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
		"eleven hundred": 1100, "twelve hundred and fifty": 1250, "three an half": 3.5,
		"vingt et un": 21, "deux cents": 200, "deux cent cinquante": 250, "cent vingt": 120, "dix-huit": 18, "trois et demi": 3.5,
	} {
		tokens := scan(fold(text))
		n, ok := readNumberAt(tokens, 0)
		assert.True(t, ok, text)
		assert.Equal(t, want, n.value, text)
	}
}

// Figures as they are typed: points and commas between thousands or before decimals, and
// fractions beside or instead of whole ones.
func TestFiguresAsTheyAreTyped(t *testing.T) {
	for text, want := range map[string]float64{
		"40": 40, "40.5": 40.5, "40,5": 40.5, "1/2": 0.5, "3 1/2": 3.5, "3 and a half": 3.5, "1.234,5": 1234.5, "1,234.5": 1234.5, "1,234,567": 1234567,
		"0.25": 0.25, ".5": 0.5, "007": 7, "2½": 2.5, "¾": 0.75,
	} {
		tokens := scan(fold(text))
		n, ok := readNumberAt(tokens, 0)
		if assert.True(t, ok, text) {
			assert.InDelta(t, want, n.value, 1e-9, text)
		}
	}
	for _, text := range []string{"", "gag", "m", "?"} {
		_, ok := readNumberAt(scan(fold(text)), 0)
		assert.False(t, ok, text)
	}
}

// Quantities in every unit that people write, in four languages; the factors are those of
// the international yard and pound (1959), a fathom is six feet.
func TestQuantitiesInTheUnitsPeopleWrite(t *testing.T) {
	for text, want := range map[string]struct {
		dim       dimension
		low, high float64
	}{
		"40 m":                 {depth, 40, 40},
		"one forty feet":       {depth, 42.672, 42.672},
		"eleven hundred feet":  {depth, 335.28, 335.28},
		"a thousand feet":      {depth, 304.8, 304.8},
		"mil doscientos pies":  {depth, 365.76, 365.76},
		"mil e duzentos pés":   {depth, 365.76, 365.76},
		"dos mil pies":         {depth, 609.6, 609.6},
		"2 mil pies":           {depth, 609.6, 609.6},
		"mille pieds":          {depth, 304.8, 304.8},
		"a pound n half":       {weight, 0.680388555, 0.680388555},
		"40m":                  {depth, 40, 40},
		"40 metros":            {depth, 40, 40},
		"40 mètres":            {depth, 40, 40},
		"130 ft":               {depth, 39.624, 39.624},
		"130 feet":             {depth, 39.624, 39.624},
		"130 pies":             {depth, 39.624, 39.624},
		"130 pieds":            {depth, 39.624, 39.624},
		"20 fathoms":           {depth, 36.576, 36.576},
		"20 brazas":            {depth, 36.576, 36.576},
		"3 kg":                 {weight, 3, 3},
		"3 kilos":              {weight, 3, 3},
		"850 g":                {weight, 0.85, 0.85},
		"7 lb":                 {weight, 3.17514659, 3.17514659},
		"7 pounds":             {weight, 3.17514659, 3.17514659},
		"7 libras":             {weight, 3.17514659, 3.17514659},
		"52 cm":                {length, 52, 52},
		"520 mm":               {length, 52, 52},
		"20 in":                {length, 50.8, 50.8},
		"20 inches":            {length, 50.8, 50.8},
		"20 pulgadas":          {length, 50.8, 50.8},
		"20 polegadas":         {length, 50.8, 50.8},
		"20 pouces":            {length, 50.8, 50.8},
		"40 oz":                {ounces, 40, 40},
		"40 onzas":             {ounces, 40, 40},
		"5 min":                {minutes, 5, 5},
		"5 minutes":            {minutes, 5, 5},
		"30 sec":               {minutes, 0.5, 0.5},
		"40-45 m":              {depth, 40, 45},
		"40 to 45 m":           {depth, 40, 45},
		"between 40 and 45 m":  {depth, 40, 45},
		"entre 40 y 45 metros": {depth, 40, 45},
		"de 40 a 45 m":         {depth, 40, 45},
		"40 à 45 m":            {depth, 40, 45},
	} {
		folded := fold(text)
		found, _ := findQuantities(folded, scan(folded))
		if !assert.Len(t, found, 1, text) {
			continue
		}
		assert.Equal(t, want.dim, found[0].dim, text)
		assert.InDelta(t, want.low, found[0].low, 1e-3*want.high, text)
		assert.InDelta(t, want.high, found[0].high, 1e-3*want.high, text)
	}
}
