package draw

import (
	"math"
	"strconv"

	"deepward/advisor"
	"deepward/bot/words"
)

// depth writes a depth in metres in the reader's unit and in the other one.
func (l Labels) depth(m float64) (first, second string) {
	metric, imperial := whole(m)+" m", l.feet(m/advisor.MetresPerFoot)
	if l.Imperial {
		return imperial, metric
	}
	return metric, imperial
}

// feet writes whole feet with the word of the language: "ft" is none but in English.
func (l Labels) feet(ft float64) string {
	return whole(ft) + " " + words.For(l.Language, true).Say("unit.ft")
}

// mass writes the weight of a fish in kilograms in the reader's unit and in the
// other one.
func (l Labels) mass(kg float64) (first, second string) {
	metric, imperial := l.short(kg)+" kg", l.short(kg/advisor.KgPerPound)+" lb"
	if l.Imperial {
		return imperial, metric
	}
	return metric, imperial
}

func whole(x float64) string { return strconv.FormatFloat(math.Round(x), 'f', -1, 64) }

// short writes half steps under 3, else whole figures.
func (l Labels) short(x float64) string {
	if x < 3 {
		return l.decimal(math.Round(2*x) / 2)
	}
	return whole(x)
}

// decimal writes a figure with the marks of the language.
func (l Labels) decimal(x float64) string { return words.For(l.Language, l.Imperial).Number(x, 2) }
