package draw

import (
	"math"
	"strconv"
	"strings"

	"deepward/advisor"
)

// listOz writes weights in ounces, with something between them.
func (l Labels) listOz(oz []float64, between string) string {
	list := make([]string, len(oz))
	for i, x := range oz {
		list[i] = l.decimal(x)
	}
	return strings.Join(list, between)
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
