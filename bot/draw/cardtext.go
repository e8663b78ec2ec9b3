package draw

import (
	"math"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
)

// listOz writes weights given in ounces, with something between them.
func (l Labels) listOz(oz []float64, between string) string {
	list := make([]string, len(oz))
	for i, x := range oz {
		list[i] = l.leadFigure(x)
	}
	return strings.Join(list, between)
}

// grams is true where lead is told in grams, as that aboard is sold.
func (l Labels) grams() bool { return words.SoldInGrams(l.AboardOz) }

// leadFigure writes lead given in ounces in the reader's unit, to ten grams.
func (l Labels) leadFigure(oz float64) string {
	if l.grams() {
		return whole(10 * math.Round(oz*advisor.GramsPerOunce/10))
	}
	return l.decimal(oz)
}

// leadUnit is the unit of lead in short, leadName in full.
func (l Labels) leadUnit() string {
	if l.grams() {
		return "g"
	}
	return "oz"
}

func (l Labels) leadName() string { return l.say("lead." + l.leadUnit()) }

// lacking writes how much lead is lacking, rounded up to what is sold: ten ounces are told
// as they are, grams to fifty.
func (l Labels) lacking(oz float64) string {
	if l.grams() {
		return whole(50 * math.Ceil(oz*advisor.GramsPerOunce/50))
	}
	return whole(oz)
}

// push writes how deep to push a fish, rounded up to what a hand can judge: a
// metre, or five feet. It is empty where any little way will do.
func (l Labels) push(m float64) string {
	switch {
	case m <= 0:
		return ""
	case l.Imperial:
		return strconv.Itoa(5*int(math.Ceil(m/advisor.MetresPerFoot/5))) + " ft"
	default:
		return strconv.Itoa(int(math.Ceil(m))) + " m"
	}
}

// listing lists words with commas as far as so many lines go; what is left out is
// told by the last word.
func listing(head string, list []string, more string, h hand, width float64, lines int) string {
	for n := len(list); n > 0; n-- {
		text := head + strings.Join(list[:n], ", ")
		if n < len(list) {
			text += ", " + more
		}
		if broken := h.lines(text, width); len(broken) <= lines && h.holds(broken, width) {
			return text
		}
	}
	return head
}
