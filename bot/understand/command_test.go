package understand

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Commands with a slash and without one; a word of a command inside other talk is none.
func TestCommandsAsPeopleTypeThem(t *testing.T) {
	for text, want := range map[string]struct {
		verb, lead string
		skip       int
	}{
		"/help":             {"help", "", 1},
		"/help@deepward":    {"help", "", 1},
		"/Undo 12":          {"undo", "", 1},
		"/resumen":          {"summary", "", 1},
		"/nosuchthing":      {"nosuchthing", "", 1},
		"help":              {"help", "", 1},
		"Help!":             {"help", "", 1},
		"why?":              {"why", "", 1},
		"why more":          {"why", "more", 2},
		"¿por qué?":         {"why", "", 2},
		"undo":              {"undo", "", 1},
		"undo 12":           {"undo", "", 1},
		"undo #12":          {"undo", "", 1},
		"undo no. 12":       {"undo", "", 1},
		"undo last":         {"undo", "", 1},
		"my weights 20, 40": {"my", "weights", 2},
		"my units feet":     {"my", "units", 2},
		"forget me":         {"forget", "", 2},
		"my data":           {"mydata", "", 2},
		"show me the signs": {"signs", "", 4},
		"":                  {"", "", 0},
		"help him down":     {"", "", 0},
		"undo the knot":     {"", "", 0},
		"signs of life":     {"", "", 0},
		"gag 40 m 3 kg":     {"", "", 0},
		"cards on Friday":   {"", "", 0},
	} {
		verb, lead, skip, ok := readCommand(fold(text))
		assert.Equal(t, want.verb != "", ok, text)
		if ok {
			assert.Equal(t, want.verb, verb, text)
			assert.Equal(t, want.lead, lead, text)
			assert.Equal(t, want.skip, skip, text)
		}
	}
	for text, want := range map[string]bool{
		"12": true, "#12": true, "no. 12": true, "number 12": true, "last": true, "that": true, "": false, "twelve": false, "12 fish": false, "#": false, "the last": false,
	} {
		assert.Equal(t, want, isUndoRest(text), text)
	}
	for verb, want := range map[string]bool{"help": true, "who_was": true, "a-b1": true, "": false, "Help": false, "é": false, "a b": false} {
		assert.Equal(t, want, isVerb(verb), verb)
	}
}

// A name stands small inside a sentence, unless it is made of a place or a person.
func TestNamesInsideASentence(t *testing.T) {
	for name, want := range map[string]string{
		"Mutton snapper": "mutton snapper", "Nassau grouper": "Nassau grouper", "Atlantic cod": "Atlantic cod", "Warsaw grouper": "Warsaw grouper",
		"Épinephèle": "épinephèle", "Black sea bass": "black sea bass", "West Australian dhufish": "West Australian dhufish", "gag": "gag",
	} {
		assert.Equal(t, want, InSentence(name), name)
	}
}

// Figures of a text that tells nothing else: the greatest of each counts, and what cannot be
// is left out. A foot is 0.3048 m, a pound 0.45359237 kg (1959).
func TestMeasuresOfAText(t *testing.T) {
	for text, want := range map[string][3]float64{ // metres, kilograms, centimetres; 0 for none
		"80 m 10 kg":          {80, 10, 0},
		"80m, 10kg":           {80, 10, 0},
		"200 ft 20 lb":        {60.96, 9.0718474, 0},
		"40 m 60 m":           {60, 0, 0},
		"60 m 40 m":           {60, 0, 0},
		"5 kg 2 kg":           {0, 5, 0},
		"52 cm":               {0, 0, 52},
		"80":                  {0, 0, 0},
		"nothing":             {0, 0, 0},
		"1500 m":              {0, 0, 0},
		"80 m 900 kg":         {80, 0, 0},
		"-80 m":               {0, 0, 0},
		"20 fathoms":          {36.576, 0, 0},
		"between 40 and 60 m": {60, 0, 0},
	} {
		q := Measures(text)
		for i, got := range []*float64{q.DepthM, q.WeightKg, q.LengthCm} {
			if want[i] == 0 {
				assert.Nil(t, got, text)
			} else if assert.NotNil(t, got, text) {
				assert.InDelta(t, want[i], *got, 1e-6, text)
			}
		}
	}
}

// Folded text shows what was typed for each piece of it, whatever letters were folded.
func TestPiecesOfFoldedTextAreShownAsTyped(t *testing.T) {
	for _, c := range []struct{ text, piece, typed string }{
		{"Mérou de 40 m", "merou", "Mérou"}, {"¿Qué hago?", "que", "Qué"}, {"GAG 40 M", "gag", "GAG"}, {"garoupa à 40 m", "a 40", "à 40"},
		{"œil crevé", "oeil", "œil"}, {"æquorea", "aequorea", "æquorea"}, {"ﬁsh 40 m", "40 m", "40 m"}, {"mero", "mero", "mero"},
	} {
		f := foldPlaced(c.text)
		at := strings.Index(f.text, c.piece)
		if assert.GreaterOrEqual(t, at, 0, c.text+": "+f.text) {
			assert.Equal(t, c.typed, f.original(c.text, at, at+len(c.piece)), c.text)
		}
		assert.Equal(t, fold(c.text), f.text, "as it is folded elsewhere")
	}
	assert.Equal(t, "¿ que hago , con el mero ?", Plain("¿Qué hago, con el MERO?"))
	assert.Equal(t, "gag 40 m", Plain("  Gag 40m "))
	assert.Empty(t, Plain(" "))
}
