package bot

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ounces in a pound and grams in an ounce: NIST Handbook 44, appendix C.
func TestWeightsAboardInTheUnitsTheyAreSoldIn(t *testing.T) {
	for text, want := range map[string][]float64{
		"20 40 60 oz":      {20, 40, 60},
		"60, 40 and 20":    {20, 40, 60},
		"20oz 40oz":        {20, 40},
		"2 lb 3 lb":        {32, 48},
		"2 and 3 pounds":   {32, 48},
		"20 oz and 2.5lbs": {20, 40},
		"500 g, 1 kg":      {17.6, 35.3},
		"500g y 1kg":       {17.6, 35.3},
		"1,5 kg":           {52.9},
		"0,5 kg y 1,5 kg":  {17.6, 52.9},
		"2,5 lb":           {40},
		"20,40,60":         {20, 40, 60},
		"8,16 oz":          {8, 16},
		"none":             nil,
	} {
		got, _, ok := ReadWeights(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "heavy", "20 stone", "2..5 lb", "0 oz", "40 lb", "1 2 3 4 5 6 7 8 9 10 11 12 13", "oz"} {
		_, _, ok := ReadWeights(text)
		assert.False(t, ok, text)
	}
}

func TestWeightsAreSaidInTheUnitOfMost(t *testing.T) {
	for text, want := range map[string]string{"20 40": "", "2 3 lb": "lb", "500 g 1 kg": "g", "20 oz 2 lb": "", "8 oz, 1 lb and 2 lb": "lb", "none": ""} {
		_, unit, _ := ReadWeights(text)
		assert.Equal(t, want, unit, text)
	}
}

func TestPracticesByKeyShortNameOrPartOfTheName(t *testing.T) {
	for text, want := range map[string]string{"fwc": "fwc", "PIRSA": "pirsa", "ADF&G": "adfg", "Florida Fish": "fwc", "own": OwnPractice, "propia": OwnPractice} {
		got, ok := readPractice(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "xyz", "of"} {
		_, ok := readPractice(text)
		assert.False(t, ok, text)
	}
}
