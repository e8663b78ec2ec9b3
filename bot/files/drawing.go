package files

import (
	"bytes"
	"io"
	"strconv"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/draw"
)

// CardForm is what the pocket card is written as.
type CardForm string

// The forms of the pocket card.
const (
	CardPNG  CardForm = "png"  // a picture for the phone
	CardSVG  CardForm = "svg"  // the same for any size
	CardPage CardForm = "html" // a page to print: the card, the hook and the signs
)

// WriteCard writes the pocket card for the weights aboard in oz and the species
// given, all that are known when there are none: the same answers as in the
// chat, for use where there is no signal.
func WriteCard(w io.Writer, form CardForm, aboardOz []float64, species []*advisor.Species, l draw.Labels) error {
	scale := advisor.MetricScale()
	if l.Imperial {
		scale = advisor.ImperialScale()
	}
	l.AboardOz = aboardOz
	t := advisor.Card(aboardOz, species, scale)
	switch form {
	case CardPage:
		return draw.CardPage(w, t, l)
	case CardSVG:
		return draw.CardSVG(w, t, l)
	default:
		return draw.CardPNG(w, t, l)
	}
}

// card is the pocket card as a picture that keeps its sharpness, or as a page.
func (m *Maker) card(args map[string]string) (bot.File, error) {
	aboard := aboardOf(args)
	var species []*advisor.Species
	if args["region"] != "" {
		species = advisor.SpeciesIn(args["region"])
	}
	form := CardPNG
	if args["form"] == string(CardPage) {
		form = CardPage
	}
	l := labelsOf(args)
	l.Date = m.now().Format(time.DateOnly)
	var out bytes.Buffer
	err := WriteCard(&out, form, aboard, species, l)
	return bot.File{Name: "release-weights." + string(form), Data: out.Bytes()}, err
}

// aboardOf are the release weights aboard, in ounces.
func aboardOf(args map[string]string) (oz []float64) {
	for word := range strings.FieldsSeq(args["weights"]) {
		if x, err := strconv.ParseFloat(word, 64); err == nil && x > 0 {
			oz = append(oz, x)
		}
	}
	return oz
}

// lesson is the picture of one lesson.
func (m *Maker) lesson(args map[string]string) (bot.File, error) {
	var out bytes.Buffer
	l := labelsOf(args)
	l.AboardOz = aboardOf(args)
	err := draw.Lesson(args["name"], l, &out, draw.PNG)
	return bot.File{Name: args["name"] + ".png", Data: out.Bytes()}, err
}

// labelsOf are the words of a picture in the reader's language and units.
func labelsOf(args map[string]string) draw.Labels {
	l := draw.In(args["language"], args["imperial"] == "true")
	l.Lead = args["lead"]
	return l
}
