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

// leadUnit is the unit of lead in short, leadName in full.
func (l Labels) leadUnit() string {
	switch {
	case l.Lead != "":
		return l.Lead
	case words.SoldInGrams(l.AboardOz):
		return "g"
	}
	return "oz"
}

func (l Labels) leadName() string { return l.say("lead." + l.leadUnit()) }

// ouncesInPound are those of the avoirdupois pound (NIST Handbook 44, appendix C).
const ouncesInPound = 16

// leadFigure writes lead given in ounces in the reader's unit: to ten grams, to a tenth of a
// pound.
func (l Labels) leadFigure(oz float64) string {
	switch l.leadUnit() {
	case "g":
		return whole(10 * math.Round(oz*advisor.GramsPerOunce/10))
	case "lb":
		return l.decimal(math.Round(10*oz/ouncesInPound) / 10)
	}
	return l.decimal(oz)
}

// lacking writes how much lead is lacking, rounded up to what is sold: ten ounces are told
// as they are, grams to fifty, pounds to a half.
func (l Labels) lacking(oz float64) string {
	switch l.leadUnit() {
	case "g":
		return whole(50 * math.Ceil(oz*advisor.GramsPerOunce/50))
	case "lb":
		return l.decimal(math.Ceil(2*oz/ouncesInPound) / 2)
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
		return l.feet(5 * math.Ceil(m/advisor.MetresPerFoot/5))
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
